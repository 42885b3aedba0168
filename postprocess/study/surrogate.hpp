// A polynomial in a study's inputs that stands for the solves, its error, and what part of the spread each input makes.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

namespace raybend {

/// What an input's values look like: the places of equally likely parts of its distribution (for a list, its values).
/// Two different ones at least.
using InputMeasure = std::vector<double>;

/// Indices of one input with bootstrap intervals, parts of the output's variance.
struct InputIndex {
  double first = 0, first_low = 0, first_high = 0; ///< alone
  double total = 0, total_low = 0, total_high = 0; ///< with all that it does together with others
};

struct Indices {
  bool hold = false;   ///< the surrogate is good enough for them
  std::string why_not; ///< in words
  double error = 1;    ///< cross-validated: mean square of what is missed over the variance
  std::size_t points = 0, terms = 0;
  double mean = 0, deviation = 0; ///< of the output over the inputs' distributions, by the surrogate
  std::vector<InputIndex> input;
};

/// Largest cross-validated error with which indices are given (chosen: with it a tenth of the variance is unexplained).
constexpr double largest_surrogate_error = 0.1;
constexpr double index_confidence = 0.95;
/// Standard deviation over value below which an output counts as constant: what solves in another order leave.
constexpr double least_change = 1e-5;

/// Polynomial chaos: products of polynomials, orthonormal for each input's own distribution, chosen one by one by what
/// they explain (orthogonal matching pursuit) until the leave-one-out error rises (G. Blatman and B. Sudret, J. Comput.
/// Phys. 230 (2011) 2345-2367; degree and hyperbolic truncation by the same error). The error that is told is of ten
/// parts left out in turn, the whole choice made anew without them. Indices are sums of squares of coefficients (B.
/// Sudret, Reliab. Eng. Syst. Saf. 93 (2008) 964-979); intervals from 200 resamplings of the left-out residuals with the terms kept.
/// Inputs are taken as independent. `points`: rows of inputs.size() numbers.
class Surrogate {
public:
  Surrogate(const std::vector<std::vector<double>> &points, const std::vector<double> &values,
            const std::vector<InputMeasure> &inputs);

  const Indices &indices() const { return indices_; }
  /// Mean of the values where there are too few or they do not change.
  double value(const std::vector<double> &point) const;
  /// What each point's value is above what a fit without it gives; empty where nothing was fitted.
  const std::vector<double> &left_out() const { return left_out_; }
  /// Mean over all other inputs, at a value of this one.
  double main_effect(std::size_t input, double x) const;

private:
  struct Term {
    std::vector<unsigned> degree; ///< of each input
  };
  /// Orthonormal polynomials of one input by their recurrence.
  struct Family {
    double middle = 0, scale = 1;
    std::vector<double> a, b; ///< p[k+1] = ((x - a[k]) p[k] - b[k] p[k-1]) / b[k+1]
    std::vector<double> values(double x, unsigned most) const;
    unsigned most = 0;
  };
  struct Fit {
    std::vector<Term> terms;
    std::vector<double> coefficients;
    double error = 1; ///< leave-one-out
  };
  Fit choose(const std::vector<std::vector<double>> &points, const std::vector<double> &values) const;
  double value_of(const Fit &fit, const std::vector<double> &point) const;
  static Family family(const InputMeasure &measure);
  void set_indices(const std::vector<std::vector<double>> &points, const std::vector<double> &values);

  std::vector<Family> families_;
  Fit fit_;
  Indices indices_;
  double mean_ = 0;
  std::vector<double> left_out_;
};

} // namespace raybend
