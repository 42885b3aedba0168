#include "solver/operator/tie_pull.hpp"
#include <algorithm>

namespace raybend {

std::vector<Vec3> tie_axes(const Tie &tie) {
  if (tie.length > 0)
    return {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  return {tie.direction};
}

TiePull tie_pull(const Tie &tie, const double load, const std::array<double, 3> &d) {
  TiePull p;
  double span = 0;
  if (tie.length > 0) {
    const Vec3 now = tie.length * tie.direction + Vec3{d[0], d[1], d[2]};
    span = norm(now);
    // |now| - L without the cancellation of two nearly equal lengths
    p.elongation = (2 * tie.length * dot(tie.direction, Vec3{d[0], d[1], d[2]}) + d[0] * d[0] + d[1] * d[1] +
                    d[2] * d[2]) /
                   (span + tie.length);
    for (int i = 0; i < 3; ++i)
      p.gradient[i] = now[i] / span;
  } else {
    p.elongation = d[0];
    p.gradient[0] = 1;
  }
  const double stretched = load * tie.force + tie.stiffness * p.elongation;
  p.taut = stretched > 0;
  p.tension = std::max(stretched, 0.0) + load * tie.constant;
  p.energy = load * tie.constant * p.elongation;
  if (tie.stiffness > 0)
    p.energy += p.taut ? stretched * stretched / (2 * tie.stiffness) : 0;
  else
    p.energy += load * tie.force * p.elongation;
  const double along = p.taut ? tie.stiffness : 0, across = tie.length > 0 ? p.tension / span : 0;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      p.stiffness[i][j] = (along - across) * p.gradient[i] * p.gradient[j] + (i == j ? across : 0.0);
  return p;
}

} // namespace raybend
