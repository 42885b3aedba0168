// One tie at a given displacement of its ends: elongation, tension, energy and their derivatives.
#pragma once
#include "solver/problem.hpp"
#include <array>

namespace raybend {

/// How a tie pulls. Its ends are apart by d (mean displacement of the region less that of the anchor or of the other
/// region), given by its components along the tie's axes.
struct TiePull {
  double elongation = 0;                            ///< e(d), mm
  double tension = 0;                               ///< T = <load f + k e>_+ + load c, N
  double energy = 0;                                ///< whose derivative with respect to e is T, N mm
  bool taut = false;                                ///< whether load f + k e > 0
  std::array<double, 3> gradient{};                 ///< de / dd: where it points now, dimensionless
  std::array<std::array<double, 3>, 3> stiffness{}; ///< d2 energy / dd2, N/mm
};

/// The directions in which d is measured: its own alone, or all three where it swings.
std::vector<Vec3> tie_axes(const Tie &tie);

/// `d`: one component for each of `tie_axes`. For a tie that swings, of length L and direction t at rest,
///   e = |L t + d| - L,   n = (L t + d) / |L t + d|,   stiffness = k n n^T + T / |L t + d| (1 - n n^T):
/// the second part is what a taut string resists sideways. Otherwise e = d, stiffness = k.
TiePull tie_pull(const Tie &tie, double load, const std::array<double, 3> &d);

} // namespace raybend
