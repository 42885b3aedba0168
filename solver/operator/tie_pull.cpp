// One tie at a given displacement of its ends: elongation, tension, energy and their derivatives.
#include "solver/operator/tie_pull.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

/// x / (1 - |x|) - x, its integral and its derivative; from |x| = 0.9 on along the tangent, so that every x is
/// admissible.
struct Stop {
  double energy, force, stiffness;
};
Stop stop_pull(const double x) {
  const double a = std::min(std::abs(x), 0.9), beyond = std::abs(x) - a;
  const double stiffness = 1 / ((1 - a) * (1 - a)) - 1, force = a / (1 - a) - a,
               energy = -std::log1p(-a) - a - a * a / 2;
  return {energy + force * beyond + stiffness / 2 * beyond * beyond,
          (x < 0 ? -1 : 1) * (force + stiffness * beyond), stiffness};
}

} // namespace

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
  double along = p.taut ? tie.stiffness : 0;
  if (tie.stop > 0) {
    const Stop stop = stop_pull(p.elongation / tie.stop);
    p.energy += tie.stop_force * tie.stop * stop.energy;
    p.tension += tie.stop_force * stop.force;
    along += tie.stop_force / tie.stop * stop.stiffness;
  }
  const double across = tie.length > 0 ? p.tension / span : 0;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      p.stiffness[i][j] = (along - across) * p.gradient[i] * p.gradient[j] + (i == j ? across : 0.0);
  return p;
}

} // namespace raybend
