// What a textbook case asked and gave, as plain values.
#include "postprocess/lab/textbook_result.hpp"
#include <algorithm>
#include <cmath>
#include <limits>

namespace raybend {

double TextbookResult::error_percent(std::size_t quantity, std::size_t level) const {
  const double reference = quantities[quantity].reference;
  if (level >= levels.size() || reference == 0)
    return std::numeric_limits<double>::quiet_NaN();
  return 100 * (levels[level].values[quantity] - reference) / std::abs(reference);
}

bool TextbookResult::within(std::size_t quantity) const {
  if (levels.empty())
    return false;
  const TextbookQuantity &q = quantities[quantity];
  const double away = std::abs(levels.back().values[quantity] - q.reference);
  // A value that is not a number is not within anything.
  return q.tolerance > 0 ? away <= q.tolerance : away <= q.tolerance_percent / 100 * std::abs(q.reference);
}

Verdict verdict(const TextbookResult &result) {
  if (!result.failure.empty() || result.levels.empty())
    return Verdict::failed;
  if (std::none_of(result.quantities.begin(), result.quantities.end(),
                   [](const TextbookQuantity &q) { return q.decides; }))
    return Verdict::failed; // nothing was compared
  Verdict v = Verdict::met;
  for (std::size_t i = 0; i < result.quantities.size(); ++i)
    if (result.quantities[i].decides && !result.within(i)) {
      // A declared reason explains a number, not the lack of one.
      const bool explained =
          !result.quantities[i].why.empty() && std::isfinite(result.levels.back().values[i]);
      if (!explained)
        return Verdict::missed;
      v = Verdict::declared;
    }
  return v;
}

const char *verdict_word(Verdict v) {
  switch (v) {
  case Verdict::met:
    return "met";
  case Verdict::declared:
    return "missed (declared)";
  case Verdict::missed:
    return "missed";
  case Verdict::failed:
    break;
  }
  return "failed";
}

} // namespace raybend
