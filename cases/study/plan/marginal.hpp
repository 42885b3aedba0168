// How one input of a study varies.
#pragma once
#include <cstddef>
#include <string>
#include <vector>

namespace raybend {

/// A list of values, each as likely, or a distribution, cut at `low` and `high`.
struct Marginal {
  enum class Kind { list, uniform, normal, lognormal, triangular };

  Kind kind = Kind::list;
  std::vector<double> values;     ///< of a list, in its order; of words their places from 0
  std::vector<std::string> words; ///< of a list of words; empty: numbers
  double low = 0, high = 0;
  double mean = 0, deviation = 0; ///< normal; of a lognormal value itself, not of its logarithm
  double mode = 0;                ///< triangular

  bool is_list() const { return kind == Kind::list; }
  bool is_number() const { return words.empty(); }
  /// The value below which the part `u` (0 to 1, both allowed) lies. Values of a list stand in its order.
  double quantile(double u) const;
  /// As --set takes it.
  std::string text(double value) const;
};

/// The names of the distributions, in the order of Marginal::Kind without `list`.
const std::vector<std::string> &distribution_names();

} // namespace raybend
