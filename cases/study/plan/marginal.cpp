// Quantiles of the distributions of a study's inputs, cut at both ends.
#include "cases/study/plan/marginal.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <boost/math/distributions/lognormal.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/triangular.hpp>
#include <cmath>

namespace raybend {

namespace {

/// Of the part of the distribution between low and high.
template <typename Distribution>
double cut_quantile(const Distribution &d, const double low, const double high, const double u) {
  const double a = cdf(d, low), b = cdf(d, high), p = a + u * (b - a);
  return std::clamp(p <= 0 ? low : p >= 1 ? high : quantile(d, p), low, high);
}

} // namespace

double Marginal::quantile(const double u) const {
  switch (kind) {
  case Kind::list:
    return values[std::min<std::size_t>(u * values.size(), values.size() - 1)];
  case Kind::uniform:
    return low + u * (high - low);
  case Kind::normal:
    return cut_quantile(boost::math::normal(mean, deviation), low, high, u);
  case Kind::lognormal: {
    const double variance = std::log1p(deviation * deviation / (mean * mean));
    const boost::math::lognormal d(std::log(mean) - variance / 2, std::sqrt(variance));
    return cut_quantile(d, std::max(0.0, low), high, u);
  }
  case Kind::triangular:
    return boost::math::quantile(boost::math::triangular(low, mode, high), u);
  }
  return low;
}

std::string Marginal::text(const double value) const {
  return is_number() ? number_text(value, 17) : words[static_cast<std::size_t>(value)];
}

const std::vector<std::string> &distribution_names() {
  static const std::vector<std::string> names = {"uniform", "normal", "lognormal", "triangular"};
  return names;
}

} // namespace raybend
