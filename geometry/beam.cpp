// A beam's axis and the sizes of its section along it.
#include "geometry/beam.hpp"
#include "geometry/constants.hpp"
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

double arc_length_of(const Beam &beam, const Vec3 &place) {
  if (beam.radius == 0)
    return place[0];
  // Positive on the way of the arc; it ends before it has gone round, and may begin a little before 0.
  const double size = std::abs(beam.radius), angle = std::atan2(place[0] / size, 1 - place[2] / beam.radius);
  return size * (angle < -0.35 ? angle + 2 * pi : angle);
}

double largest_depth(const Beam &beam) {
  double most = std::max(beam.section.start.depth, beam.section.end.depth);
  for (const SectionStep &s : beam.section.steps)
    most = std::max(most, s.size.depth);
  return most;
}

double largest_width(const Beam &beam) {
  double most = std::max(beam.section.start.width, beam.section.end.width);
  for (const SectionStep &s : beam.section.steps)
    most = std::max(most, s.size.width);
  return most;
}

double BeamLoad::share(const double s) const {
  return from_share + (to_share - from_share) * (s - from) / (to - from);
}

double slice_length(const Beam &beam) {
  const double h = largest_depth(beam);
  return std::clamp(0.01 * beam.length, 0.05 * h, 0.25 * h);
}

SectionSize section_size(const Beam &beam, const double s) {
  const auto mixed = [](const SectionSize &a, const SectionSize &b, const double part) -> SectionSize {
    const double t = std::clamp(part, 0.0, 1.0);
    const auto mix = [t](const double x, const double y) { return x + t * (y - x); };
    return {mix(a.width, b.width), mix(a.depth, b.depth), mix(a.inner_width, b.inner_width),
            mix(a.inner_depth, b.inner_depth)};
  };
  if (beam.section.steps.empty())
    return mixed(beam.section.start, beam.section.end, s / beam.length);
  const double cone = slice_length(beam);
  SectionSize size = beam.section.start;
  for (const SectionStep &step : beam.section.steps)
    size = mixed(size, step.size, (s - step.at) / cone + 0.5);
  return size;
}

} // namespace raybend
