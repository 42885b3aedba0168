// Verdicts on published values.
#include "postprocess/lab/validation_result.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

bool ValidationQuantity::within() const {
  return std::isfinite(value) && !(value <= above) && !(value >= below);
}

bool ValidationQuantity::as_pinned() const {
  const double most = std::max(pin_tolerance * std::abs(pinned), unit == "%" ? pin_least_percent : 0.0);
  return std::abs(value - pinned) <= most; // false where either is not a number
}

ValidationVerdict verdict(const ValidationRow &row) {
  if (!row.failure.empty())
    return ValidationVerdict::failed;
  ValidationVerdict v = ValidationVerdict::met;
  for (const ValidationQuantity &q : row.quantities) {
    if (!std::isfinite(q.value))
      return ValidationVerdict::failed;
    const bool declared = !q.miss.because.empty();
    if (!q.decides() || (q.within() && !declared))
      continue;
    v = std::max(v, q.within() ? ValidationVerdict::met_by_now
                    : declared && q.value > q.miss.above && q.value < q.miss.below
                        ? ValidationVerdict::declared
                        : ValidationVerdict::missed);
  }
  return v;
}

const char *verdict_word(const ValidationVerdict v) {
  switch (v) {
  case ValidationVerdict::met:
    return "met";
  case ValidationVerdict::declared:
    return "missed (declared)";
  case ValidationVerdict::met_by_now:
    return "met (a miss is declared)";
  case ValidationVerdict::missed:
    return "missed";
  case ValidationVerdict::failed:
    break;
  }
  return "failed";
}

bool as_pinned(const ValidationRow &row) {
  return !row.pins_count || std::all_of(row.quantities.begin(), row.quantities.end(),
                                        [](const ValidationQuantity &q) { return q.as_pinned(); });
}

bool as_stated(const ValidationRow &row) {
  const ValidationVerdict v = verdict(row);
  return (v == ValidationVerdict::met || v == ValidationVerdict::declared) && as_pinned(row);
}

} // namespace raybend
