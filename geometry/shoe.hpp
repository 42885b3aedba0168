// The shoe round an insole as plain values: what its sole resists, what its upper holds, how it rolls.
#pragma once
#include <cmath>
#include <string>

namespace raybend {

/// What a shoe adds to the sole layer of a design. Barefoot: all nil.
struct Shoe {
  std::string kind = "light"; ///< catalogue name
  /// N m per degree of bend at the ball, of the sole alone: what shoes are measured by (`bending_test`).
  double ball_stiffness = 0;
  double shank_e = 0;         ///< MPa, added along the foot by a shank, over the sole's whole thickness
  double shank_from = 15;     ///< mm behind the heads where the shank ends
  double upper_force = 0;     ///< N: pull of the laced upper on the shoe's rear part before it is stretched
  double upper_stiffness = 0; ///< N/mm, of the same
  double rocker_deg = 0;      ///< angle by which the sole rises distal of its apex; 0: no rocker
  double rocker_apex = 0;     ///< mm behind the heads, where a rocker sole begins to rise

  bool has_rocker() const { return rocker_deg > 0; }
};

/// Length along the foot over which a shoe bends at the ball: from 40 mm behind to 20 mm before the heads (assumed).
constexpr double ball_front = 20, ball_back = 40;

/// The sole between the toe part and the rear part, bent about the ball by a moment that is the same everywhere:
/// N m per degree. Sole of `thickness` (mm), modulus `e` and `along_e` on top of it (MPa), `width` across (mm);
/// beyond `shank_from` the shank's modulus adds. Beam theory: angle = M int ds / (E w t^3 / 12).
inline double bending_test(const Shoe &shoe, double thickness, double e, double along_e, double width) {
  const double inertia = width * thickness * thickness * thickness / 12;
  const double shanked = std::fmin(ball_front + ball_back, std::fmax(0.0, ball_back - shoe.shank_from));
  const double plain = ball_front + ball_back - shanked;
  const double angle = plain / (e + along_e) + shanked / (e + along_e + shoe.shank_e); // rad mm2 / N
  return inertia / angle * std::acos(-1.0) / 180 / 1000;
}

/// MPa along the foot that the sole lacks to reach `ball_stiffness` in the bending test; 0 where it reaches it by itself.
inline double along_modulus(const Shoe &shoe, double thickness, double e, double width) {
  double low = 0, high = 1e6;
  if (bending_test(shoe, thickness, e, 0, width) >= shoe.ball_stiffness)
    return 0;
  for (int i = 0; i < 80; ++i) {
    const double middle = (low + high) / 2;
    (bending_test(shoe, thickness, e, middle, width) < shoe.ball_stiffness ? low : high) = middle;
  }
  return high;
}

} // namespace raybend
