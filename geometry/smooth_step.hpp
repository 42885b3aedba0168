// A smooth way from 0 to 1.
#pragma once
#include <algorithm>

namespace raybend {

/// 0 for t <= 0, 1 for t >= 1, 3 t^2 - 2 t^3 between: level at both ends.
inline double smooth_step(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

} // namespace raybend
