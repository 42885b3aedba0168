// What a sequence of refined meshes says about the exact value.
#include "postprocess/lab/convergence.hpp"
#include <cmath>
#include <limits>

namespace raybend {

Extrapolation extrapolate(const std::vector<double> &values, const double formal_order, const double ratio,
                          const double negligible) {
  Extrapolation e;
  const std::size_t n = values.size();
  if (n < 2) {
    e.why = "one mesh only";
    return e;
  }
  const double f1 = values[n - 1], f2 = values[n - 2];
  const bool three = n >= 3;
  const double f3 = three ? values[n - 3] : f2;
  if (!std::isfinite(f1) || !std::isfinite(f2) || !std::isfinite(f3)) {
    e.why = "a value is missing";
    return e;
  }
  const double last = f2 - f1, before = f3 - f2;
  if (std::abs(last) <= negligible) {
    e.valid = true;
    e.value = f1;
    e.order = std::numeric_limits<double>::quiet_NaN();
    e.band = std::abs(last);
    return e;
  }
  double factor = 3;
  e.order = formal_order;
  if (three) {
    factor = 1.25;
    if (before * last <= 0) {
      e.why = before == 0 ? "no change between the coarser meshes" : "oscillating";
      return e;
    }
    e.order = std::log(before / last) / std::log(ratio);
    if (e.order <= 0) {
      e.why = "changes do not shrink";
      return e;
    }
    if (e.order > 2 * formal_order) {
      e.why = "observed order far above the formal one";
      return e;
    }
  }
  const double divisor = std::pow(ratio, e.order) - 1;
  e.value = f1 + (f1 - f2) / divisor;
  e.band = factor * std::abs(f1 - f2) / divisor;
  e.valid = true;
  return e;
}

} // namespace raybend
