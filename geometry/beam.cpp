// A beam of the laboratory's own: prismatic, tapered or curved, with its supports and loads.
#include "geometry/beam.hpp"
#include <algorithm>

namespace raybend {

AxisFrame axis_frame(const Beam &beam, const double s) {
  if (beam.radius == 0)
    return {{s, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  const double r = beam.radius, angle = s / r;
  return {{r * std::sin(angle), 0, r * (1 - std::cos(angle))},
          {std::cos(angle), 0, std::sin(angle)},
          {0, 1, 0},
          {-std::sin(angle), 0, std::cos(angle)}};
}

double slice_length(const Beam &beam) {
  const double h = std::max(beam.section.start.depth, beam.section.end.depth);
  return std::clamp(0.01 * beam.length, 0.05 * h, 0.25 * h);
}

SectionSize section_size(const Beam &beam, const double s) {
  const double t = std::clamp(s / beam.length, 0.0, 1.0);
  const SectionSize &a = beam.section.start, &b = beam.section.end;
  const auto mix = [t](const double x, const double y) { return x + t * (y - x); };
  return {mix(a.width, b.width), mix(a.depth, b.depth), mix(a.inner_width, b.inner_width),
          mix(a.inner_depth, b.inner_depth)};
}

} // namespace raybend
