// Visits the plan of an insole.
#pragma once
#include "geometry/logical_frame.hpp"

namespace raybend {

/// visit(s, b) over the plan, about 1 mm apart.
template <typename Visit> void over_plan(const Visit &visit) {
  for (double s = 0; s <= logical::stations; s += 0.125)
    for (double b = 0; b <= 10; b += 0.125)
      visit(s, b);
}

} // namespace raybend
