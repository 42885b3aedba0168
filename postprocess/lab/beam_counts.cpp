// What of a beam is worth a table or a chart.
#include "geometry/beam_section.hpp"
#include "postprocess/lab/beam_report.hpp"
#include <algorithm>
#include <cmath>
#include <limits>

namespace raybend {

namespace {

// Shares of the largest (assumed). Theory is free of the mesh: what it says counts even if it is small.
constexpr double least_in_3d = 1e-3, least_in_theory = 1e-5, least_force = 1e-4;

template <typename Stations, typename Value> double largest(const Stations &stations, const Value &value) {
  double most = 0;
  for (const auto &s : stations)
    most = std::max(most, std::abs(value(s)));
  return most;
}

void count_motions(const BeamReport &r, BeamCounts &counts) {
  const double reach = std::max(r.beam.section.start.depth, r.beam.section.start.width) / 2;
  std::array<double, 4> solid{}, theory{}; // along x, y, z; of the outline by the twist
  for (int c = 0; c < 3; ++c) {
    solid[c] = largest(r.last().stations, [c](const SolidStation &s) { return s.u[c]; });
    theory[c] = largest(r.timoshenko.stations, [c](const FrameStation &s) { return s.u[c]; });
  }
  solid[3] = reach * largest(r.last().stations, [](const SolidStation &s) { return s.rotation[0]; });
  theory[3] =
      reach * largest(r.timoshenko.stations, [&](const FrameStation &s) { return r.theory_twist(s.s); });
  const double most = *std::max_element(solid.begin(), solid.end());
  const auto counted = [&](const int i) {
    return most > 1e-12 * r.beam.length &&
           (solid[i] > least_in_3d * most || theory[i] > least_in_theory * most);
  };
  for (int c = 0; c < 3; ++c)
    counts.u[c] = counted(c);
  counts.twist = counted(3);
}

void count_section_forces(const BeamReport &r, BeamCounts &counts) {
  double force = largest(r.last().stations, [](const SolidStation &s) { return norm(s.statics_force); });
  double moment = largest(r.last().stations, [](const SolidStation &s) { return norm(s.statics_moment); });
  force = std::max(force, moment / r.beam.length);
  moment = std::max(moment, force * r.beam.section.start.depth);
  for (int c = 0; c < 3; ++c) {
    const auto n = [c](const auto &s) { return s.force[c]; };
    const auto m = [c](const auto &s) { return s.moment[c]; };
    counts.force[c] = largest(r.last().stations, n) > least_force * force ||
                      largest(r.timoshenko.stations, n) > least_force * force;
    counts.moment[c] = largest(r.last().stations, m) > least_force * moment ||
                       largest(r.timoshenko.stations, m) > least_force * moment;
  }
}

} // namespace

BeamCounts what_counts(const BeamReport &r) {
  BeamCounts counts;
  count_motions(r, counts);
  count_section_forces(r, counts);
  return counts;
}

double BeamReport::band(const double s, const int component) const {
  if (levels.size() < 2)
    return std::numeric_limits<double>::quiet_NaN();
  return last().displacement(s)[component] - levels[levels.size() - 2].displacement(s)[component];
}

double BeamReport::twist_band(const double s) const {
  if (levels.size() < 2)
    return std::numeric_limits<double>::quiet_NaN();
  return last().at(s).rotation[0] - levels[levels.size() - 2].at(s).rotation[0];
}

double BeamReport::theory_twist(const double s) const {
  return dot(timoshenko.at(s).rotation, axis_frame(beam, s).along);
}

} // namespace raybend
