// From nodal displacements to the quantities people read.
#pragma once
#include "solver/forefoot/state.hpp"
#include "solver/results.hpp"

namespace raybend {

/// Fills ray, surfaces and forces of `result` from displacement u on one level (collective; complete on all
/// ranks but for the surfaces, which only rank 0 gets). `surfaces` false leaves the pictures' patches out.
void extract(const ForefootState &state, unsigned level, const Vector &u, DesignResult &result,
             bool surfaces);

} // namespace raybend
