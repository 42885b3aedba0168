// What stands for the solves while the best design is sought: a polynomial and what it misses, laid through the solved points.
#pragma once
#include "postprocess/best/candidate.hpp"
#include "postprocess/study/surrogate.hpp"
#include <memory>

namespace raybend {

/// Polynomial chaos (postprocess/study/surrogate.hpp), to which its residuals are added, interpolated by a Gaussian process of
/// zero mean with Matern's correlation 5/2 (C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine
/// Learning, MIT Press 2006, eq. 4.17; both together as R. Schobi, B. Sudret and J. Wiart, Int. J. Uncertain. Quantif. 5 (2015) 171-193,
/// from memory). So it keeps kinks that a polynomial smooths away and is right where something was solved. The correlation's length is the one
/// that foretells points left out best (closed form of O. Dubrule, Math. Geol. 15 (1983) 687-699, from memory).
class BestModel {
public:
  BestModel(const std::vector<std::vector<double>> &points, const std::vector<double> &values,
            const std::vector<BestInput> &inputs);

  double value(const std::vector<double> &x) const;
  /// Standard deviation of the interpolated residual: 0 at a solved point.
  double deviation(const std::vector<double> &x) const;
  /// The polynomial's cross-validated error: mean square of what it misses over the variance; NaN where there is none.
  double polynomial_error() const { return error_; }

private:
  std::vector<double> correlations(const std::vector<double> &x) const;

  std::vector<std::vector<double>> points_;
  std::vector<BestInput> inputs_;
  std::shared_ptr<const Surrogate> polynomial_; ///< nullptr: the mean stands in its place
  double mean_ = 0, error_ = 0, length_ = 1, scale_ = 0;
  std::vector<double> weights_; ///< of the residuals
  std::vector<double> inverse_; ///< of the matrix of correlations, row by row
};

/// Root mean square, in the values' unit, of what such models miss at points left out, a tenth of them in turn and all made anew
/// without them.
double missed_when_left_out(const std::vector<std::vector<double>> &points, const std::vector<double> &values,
                            const std::vector<BestInput> &inputs);

} // namespace raybend
