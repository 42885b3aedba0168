// A whole step: the largest of every number over its instants, and the range of strain at every spot.
#pragma once
#include "geometry/forefoot.hpp"
#include "solver/results.hpp"
#include <vector>

namespace raybend {

/// The largest of every peak over the instants of a step, each with the instant (per cent of stance) that it stands in.
/// Peaks are taken one by one: strain, moment, stress, force and pressure of each ray. A ray's shaft and bone are those
/// of the instant that strains it most; plantar pressure is the largest at each place; what is no peak (forces of the
/// whole foot, settling) is that of the instant with the largest applied force. The coarser value of a peak is the
/// largest on the coarser mesh. `converged` only if every instant is; the message names those that are not.
/// One instant: itself. None: not converged. Ranges of strain as take_ranges.
DesignResult over_step(const StepResult &step, const Forefoot &foot);

/// Ranges of strain of a ray (1..5) between unloaded and its instants, at the stations that `foot` has counted, into `into`.
void take_ranges(const std::vector<const RayResult *> &instants, const Forefoot &foot, int ray,
                 RayResult &into);

} // namespace raybend
