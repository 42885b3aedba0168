// The ground under a shoe's sole that bends at the ball.
#pragma once
#include "geometry/foot_shape.hpp"
#include "geometry/shoe.hpp"

namespace raybend {

/// How far the ground lies below the underside of the unloaded sole once the heel has risen. It leaves the sole proximal
/// of the line of the heads by the sine of the rise, as the shoe's toe part bends there and lies on the ground; the corner
/// is rounded over 10 mm (assumed). A rocker sole leaves it distal of its apex too, until the heel has risen by its
/// angle; its corner is rounded over 30 mm (assumed). The lowest place of the sole touches the ground.
class SoleGround {
public:
  /// `heel_rise_deg` >= 0.
  SoleGround(const FootShape &shape, const Shoe &shoe, double heel_rise_deg);

  /// mm proximal of the corner, along x, of a place in plan: straight from head to head. A design's places count along
  /// the rays from their own heads instead (FootShape::behind_heads); as rays spread, that is up to 0.5 mm less 9 mm
  /// behind the heads and 3 mm at the bases (default foot). With it in place of this, MT2's peak strain in the warehouse
  /// case was 1 to 2 % lower.
  double behind(const Vec3 &place) const;
  /// mm, at a distance behind the corner; >= 0 but for rounding.
  double below(double behind) const { return off(behind) - lowest_; }

private:
  double off(double behind) const;

  std::array<double, 5> x_, y_; ///< of the heads, from medial (large y) to lateral
  double apex_, half_, rise_, before_, lowest_ = 0;
};

} // namespace raybend
