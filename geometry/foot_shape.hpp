// Where the points of one forefoot are: the map from the logical frame to millimetres.
#pragma once
#include "geometry/forefoot.hpp"
#include "geometry/vec3.hpp"

namespace raybend {

/// Unloaded shape of the forefoot. Continuous over the whole logical frame; smooth inside every cell of the
/// coarsest mesh. Works on a right foot; a left foot is mirrored only in the output.
class FootShape {
public:
  explicit FootShape(const Forefoot &foot);

  /// Point of the foot at logical (s, b, d), s in [0, 8], b in [0, 10], d in [0, 3].
  Vec3 point(const Vec3 &logical) const;

  /// Plan position and height of the unloaded plantar skin at (s, b).
  Vec3 skin(double s, double b) const;

  /// Point on a ray's axis and the unit tangent (distal) there.
  Vec3 axis(int ray, double s) const;
  Vec3 axis_tangent(int ray, double s) const;

  /// Distance of (s, b) proximal of the line of the heads, mm along x: the curve in plan through the centres of
  /// all five heads. A point counts from where its own ray (its own b, between two rays) meets that curve, so
  /// that under a ray it is the distance from that ray's own head.
  double behind_heads(double s, double b) const;

  /// Distance along the axis from the proximal face, mm.
  double distance(int ray, double s) const;

  /// A vertical cut through the bone: half width (mediolateral) and half height, cortical thickness at the
  /// sides and above and below. An inclined tube is taller in a vertical cut than in its normal section.
  struct Section {
    double half_width, half_height, cortex, cortex_above;
  };
  Section section(int ray, double s) const;

  /// Smallest clear distance across the foot between neighbouring bones, mm, and whose it is.
  double smallest_gap(int &ray_a, int &ray_b) const;

  const Forefoot &foot() const { return foot_; }

private:
  static double fraction(double s);
  double beyond_head(int ray, double s) const;
  double across(double b, double s, double (FootShape::*value)(int, double) const, bool edges_of_skin) const;
  double x_axis(int ray, double s) const { return axis(ray, s)[0]; }
  double skin_height(int ray, double s) const;
  double mid_height(int ray, double s) const;
  double dorsal_height(int ray, double s) const;
  double boundary_y(int tile_edge, double s) const;
  double plan_y(double b, double s) const;
  Vec3 bone(int ray, double s, double u, double v) const;

  Forefoot foot_;
};

} // namespace raybend
