// From nodal displacements to the quantities people read.
#pragma once
#include "solver/forefoot/state.hpp"
#include "solver/results.hpp"

namespace raybend {

/// Fills ray, surfaces and forces of `result` from displacement u on one level (collective; complete on all
/// ranks but for the surfaces, which only rank 0 gets). `surfaces` false leaves the pictures' patches out.
void extract(const ForefootState &state, unsigned level, const Vector &u, DesignResult &result,
             bool surfaces);

/// Why a balance that was found is no state of a foot: bone beyond the strain that breaks it, or a pad under a head that has
/// no thickness left; "" where it may be one.
std::string impossible_words(const DesignResult &result);

} // namespace raybend
