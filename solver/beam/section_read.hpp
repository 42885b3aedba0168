// Section forces, mean displacements and statics of a solved beam, plane by plane.
#pragma once
#include "solver/beam/beam_problem.hpp"
#include "solver/body/body.hpp"

namespace raybend {

/// One plane across the beam. Forces act from the part beyond on the part before, fixed frame; moments about
/// the elastic centroid (finite strain: about its displaced place). A support counts as acting at its own
/// place, not over the slice that it holds: planes within the slice show what lies just before it or beyond
/// it; at it what lies just before, but just beyond a support at the start.
struct PlaneReading {
  double s = 0, area = 0;
  Vec3 u{};        ///< mean displacement, weighted by E
  Vec3 rotation{}; ///< about tangent, y and z of the section: best fit to the displacements, rad; finite
                   ///< strain: axis times angle, below 180 deg
  Vec3 force{}, moment{}; ///< from the internal forces of the cells before the plane (at the start: beyond)
  Vec3 statics_force{}, statics_moment{}; ///< from all that acts on the body beyond the plane
};

struct BeamReading {
  std::vector<PlaneReading> planes;        ///< one a plane of the problem
  std::vector<double> tension;             ///< of each tie, N
  std::vector<Vec3> tie_force, tie_moment; ///< of each tie on the beam; moment about the axis at its hold
  std::vector<double> tie_motion;          ///< mean displacement that each tie sees, mm
  Vec3 end_force{}, end_moment{};          ///< prescribed end face on the beam; moment about the axis there
  Vec3 start_force{}, start_moment{};
};

/// `finite`: stresses and places of the deformed body; otherwise small strain. Serial bodies only.
BeamReading read_sections(const Beam &beam, const BeamProblem &from, Body &body, bool finite, double load);

} // namespace raybend
