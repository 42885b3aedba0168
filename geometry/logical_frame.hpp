// The logical frame in which the mesh is a set of bricks and every design looks the same.
//
//   s  (first)   station along the rays: 0 at the bases, `stations` just distal of the heads; integer values
//                are the planes of the coarsest mesh, the same ones for all five rays
//   b  (second)  across the foot: ray 5 in 0..2, ray 4 in 2..4, ... ray 1 in 8..10; ray axes at odd values
//   d  (third)   depth: foot 0 (plantar skin) .. 1 (plantar row) .. 3 (dorsal skin), bone round d = 2;
//                insole -1 (top) .. -2 cover .. -3 base .. -4 plate .. -5 sole (bottom)
//
// Between d = -1 and d = 0 lies nothing: foot and insole are two bodies whose facing faces match in (s, b).
#pragma once
#include "geometry/vec3.hpp"

namespace raybend::logical {

constexpr int stations = 8;     ///< cells along a ray on the coarsest mesh
constexpr int head_station = 6; ///< plane through the centres of the heads
constexpr int pole_station = 7; ///< distal poles of the heads; tissue only beyond
constexpr int canal_from = 1;   ///< marrow canal (no cells) between these planes
constexpr int canal_to = 4;
constexpr double core_radius = 0.35;   ///< endosteal surface, in half tile widths
constexpr double cortex_radius = 0.65; ///< periosteal surface

/// Place along the ray of each station plane: fraction of the ray's length up to the head's centre.
constexpr double fraction_at[head_station + 1] = {0.0, 0.18, 0.36, 0.54, 0.70, 0.85, 1.0};

inline int ray_of(double b) { // 1..5
  int tile = static_cast<int>(b / 2.0);
  tile = tile < 0 ? 0 : (tile > 4 ? 4 : tile);
  return 5 - tile;
}
inline double axis_of(int ray) {
  return 2.0 * (5 - ray) + 1.0;
}

/// Largest of |b - axis|, |d - 2|: the "radius" of a point in its square tile.
inline double tile_radius(double b, double d, int ray) {
  const double u = std::abs(b - axis_of(ray)), v = std::abs(d - 2.0);
  return u > v ? u : v;
}

} // namespace raybend::logical
