// A beam as a solid-mechanics problem: where its cells lie, what its supports and loads become in three
// dimensions.
#pragma once
#include "geometry/beam_holds.hpp"
#include "solver/problem.hpp"

namespace raybend {

/// What a stretch of the beam's body stands for.
struct BeamTie {
  Hold hold;
  double from = 0, to = 0; ///< stretch of arc length whose mean is held
};

struct BeamProblem {
  Problem problem;
  std::vector<double>
      planes; ///< arc lengths between the cells, increasing; beyond 0..length where the body overhangs
  std::vector<BeamTie> ties;                   ///< in the order of problem.ties
  bool start_fixed = false, end_fixed = false; ///< the face's displacement is prescribed
};

/// What stands for what:
///   clamped       u = 0 on the end face
///   soft_clamped  mean displacement and mean rotation of a short slice, two thirds of it beyond an end; the
///                 section is free to swell and to warp
///   pinned, roller, unilateral, spring
///                 mean displacement of a short slice, centred on the support; the body overhangs the
///                 support by half of it
///   settlement    the same means at the displacement given
///   force         at a free end: traction on the face (parabolic on rectangles, uniform otherwise);
///                 elsewhere: body force over a slice
///   distributed   body force over the stretch, linear along the axis
///   moment        traction on the end face: linear, times the layer's E: for bending along the axis, for
///                 torque half of it along y, half along z; inside the span the same over a slice, as body force
///   temperature   free strain of every point
///   foundation    springs on the lower face (rectangle, layered) or the lower half of the outside
/// `touching`: of each support; unilateral ones that are lifted off are left out. `force_scale` (N) sets the
/// pretension that lets a one-way tie act both ways. `stations`: arc lengths that must be planes.
BeamProblem beam_problem(const Beam &beam, unsigned level, const std::vector<bool> &touching,
                         double force_scale, const std::vector<double> &stations);

} // namespace raybend
