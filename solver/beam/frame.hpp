// Beam theory: the beam as a chain of straight two-node elements in space.
#pragma once
#include "geometry/beam_holds.hpp"
#include "geometry/beam_section.hpp"

namespace raybend {

enum class BeamTheory { euler, timoshenko }; ///< Euler-Bernoulli: rigid in shear

/// Section forces act from the part beyond (larger s) on the part before, in the section's own axes:
/// force = N, Vy, Vz (N), moment = T, My, Mz (N mm) about the elastic centroid. My > 0 pulls the side z > 0.
struct FrameStation {
  double s = 0;
  Vec3 u{}, rotation{}; ///< mm, rad, fixed frame
  Vec3 force{}, moment{};
};

struct FrameResult {
  std::vector<FrameStation> stations; ///< increasing s; where a force jumps, values are those just before
  std::vector<Vec3> force, moment;    ///< of each support on the beam; N, N mm about its place, fixed frame
  std::vector<bool> touching;         ///< of each support: false for a unilateral one that is lifted off
  const FrameStation &at(double s) const; ///< nearest station
};

/// Small displacements. Element stiffness by flexibility: with the section forces of an element clamped at
/// its start, F = int B^T S^-1 B dx (4 Gauss points, so a varying section is followed), K = G^T F^-1 G; for a
/// constant section this is Przemieniecki's shear-flexible element (Theory of Matrix Structural Analysis,
/// 1968, ch. 5; from memory) with products of inertia. Distributed loads and the foundation: cubic (Hermite)
/// shape functions. A curved axis: short chords, no curved-beam correction. Unilateral supports by an active
/// set. `wanted`: arc lengths that must be among the stations. At least `elements` elements; a curved
/// axis takes three times as many. Throws
/// std::runtime_error if the beam lifts off all supports that hold it.
FrameResult solve_frame(const Beam &beam, BeamTheory theory, const std::vector<double> &wanted = {},
                        unsigned elements = 96);

} // namespace raybend
