// A whole step: the largest of every number over its instants, and the range of strain at every spot.
#pragma once
#include "solver/results.hpp"
#include <vector>

namespace raybend {

/// The largest of every peak over the instants of a step, each with the instant (per cent of stance) that it stands in.
/// Peaks are taken one by one: strain, moment, stress, force and pressure of each ray. A ray's shaft and bone are those
/// of the instant that strains it most; plantar pressure is the largest at each place; what is no peak (forces of the
/// whole foot, settling) is that of the instant with the largest applied force. The coarser value of a peak is the
/// largest on the coarser mesh. `converged` only if every instant is; the message names those that are not.
/// One instant: itself. None: not converged.
DesignResult over_step(const StepResult &step);

/// Strain at the spots of a ray's shaft over a step, from unloaded to every instant.
struct SpotRanges {
  static constexpr int angles = 24; ///< round the section, from the dorsal side over the medial one
  std::vector<double> fraction;     ///< of the stations counted, 15 to 85 % of the length
  std::vector<double> range;        ///< ue, [station * angles + angle]: highest less lowest, zero among them
};
SpotRanges spot_ranges(const StepResult &step, int ray);

/// The largest range and where it is.
struct LargestRange {
  double value = 0, fraction = 0, towards = 0; ///< ue, part of the length, degrees from dorsal over medial
};
LargestRange largest_range(const SpotRanges &spots);

} // namespace raybend
