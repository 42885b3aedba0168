// Plantar pressure as an in-shoe or platform sensor shows it: the mean over the sensor's face, not the value
// at a point.
#pragma once
#include "solver/results.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

/// Largest mean pressure (kPa) over a square of `side` mm in plan, its sides along x and y, that stands under
/// ray `ray` with its centre at most `reach` mm proximal or distal of `head_x`. What the square covers beyond
/// the skin counts as 0; neighbours' skin counts with its pressure.
inline double sensor_pressure(const std::vector<Patch> &plantar, int ray, double head_x, double side,
                              double reach = 10) {
  struct Spot {
    double x, y, area, pressure;
    bool own;
  };
  std::vector<Spot> spots; // the patches cut into bits of at most half a millimetre
  for (const Patch &patch : plantar) {
    const auto &c = patch.corner;
    const double longest =
        std::max({norm(c[1] - c[0]), norm(c[2] - c[1]), norm(c[3] - c[2]), norm(c[0] - c[3])});
    const int n = std::max(1, static_cast<int>(std::ceil(longest / 0.5)));
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        const double u = (i + 0.5) / n, v = (j + 0.5) / n;
        const Vec3 along = (1 - v) * (c[1] - c[0]) + v * (c[2] - c[3]);
        const Vec3 across = (1 - u) * (c[3] - c[0]) + u * (c[2] - c[1]);
        const Vec3 p = (1 - v) * ((1 - u) * c[0] + u * c[1]) + v * ((1 - u) * c[3] + u * c[2]);
        const double value = (1 - v) * ((1 - u) * patch.value[0] + u * patch.value[1]) +
                             v * ((1 - u) * patch.value[3] + u * patch.value[2]);
        if (std::abs(p[0] - head_x) <= reach + side)
          spots.push_back({p[0], p[1], std::abs(along[0] * across[1] - along[1] * across[0]) / (n * n), value,
                           patch.ray == ray});
      }
  }
  double y_low = 1e9, y_high = -1e9;
  for (const Spot &s : spots)
    if (s.own) {
      y_low = std::min(y_low, s.y);
      y_high = std::max(y_high, s.y);
    }
  double largest = 0;
  for (double x = head_x - reach; x <= head_x + reach; x += 0.5)
    for (double y = y_low; y <= y_high; y += 0.5) {
      double force = 0;
      // A bit counts as a square of its area, with the part of it that the sensor covers.
      for (const Spot &s : spots) {
        const double width = std::sqrt(s.area);
        const auto covered = [&](double off) {
          return std::clamp((side + width) / 2 - std::abs(off), 0.0, width);
        };
        force += covered(s.x - x) * covered(s.y - y) * s.pressure;
      }
      largest = std::max(largest, force / (side * side));
    }
  return largest;
}

} // namespace raybend
