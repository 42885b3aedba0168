// One tie at a given displacement of its ends: elongation, tension, energy and their derivatives.
#pragma once
#include "solver/problem.hpp"
#include <array>

namespace raybend {

/// How a tie pulls. Its ends are apart by d (mean displacement of the region less that of the anchor or of the other
/// region), given by its components along `tie_axes`.
struct TiePull {
  static constexpr unsigned most_axes = 4;
  double elongation = 0;                 ///< e(d), mm
  double tension = 0;                    ///< T = <load f + k e>_+ + load c, N
  double toe = 0;                        ///< what the toe pushes with over its load in the reference, N
  double energy = 0;                     ///< N mm
  bool taut = false;                     ///< whether load f + k e > 0
  std::array<double, most_axes> force{}; ///< d energy / dd, N
  std::array<std::array<double, most_axes>, most_axes> stiffness{}; ///< d2 energy / dd2, N/mm
};

/// The directions in which d is measured: its own alone, or all three where it swings; then, with a toe, the toe's `up`,
/// along which d counts in space.
std::vector<Vec3> tie_axes(const Tie &tie);

/// `d`: one component for each of `tie_axes`. For a tie that swings, of length L and direction t at rest,
///   e = |L t + d| - L,   n = (L t + d) / |L t + d|,   stiffness = k n n^T + T / |L t + d| (1 - n n^T):
/// the second part is what a taut string resists sideways. Otherwise e = d, stiffness = k. With a toe (problem.hpp) the
/// energy is the least over x of that of tie, joint and bed. `level` of refinement: whose reference the toe counts from.
TiePull tie_pull(const Tie &tie, double load, const std::array<double, TiePull::most_axes> &d,
                 unsigned level = 0);

} // namespace raybend
