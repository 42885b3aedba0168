// Which instants of a step are solved.
#pragma once
#include <optional>
#include <vector>

namespace raybend {

/// A candidate instant: per cent of stance, and what is watched there (peak strain of the painful ray, largest peak
/// pressure under a head) once it is solved; empty before.
struct CandidateInstant {
  double stance = 0;
  std::vector<double> watched;
};

constexpr std::size_t most_instants = 6; ///< of one step
constexpr double instants_tolerance =
    0.02; ///< of a peak: what the solved instants may leave below its summit (chosen)

/// The next instant to solve so that the peaks over the step are known to `instants_tolerance`: beyond the end of the
/// solved ones where a peak stands at that end, or at the summit of the parabola through a peak and its neighbours
/// where that lies higher by more than the tolerance. Nothing where all is known, no candidate is left or
/// `most_instants` are solved. Candidates in the order of stance; at least one solved.
std::optional<std::size_t> next_instant(const std::vector<CandidateInstant> &candidates);

} // namespace raybend
