// Surfaces of the bones for pictures.
#pragma once
#include "solver/forefoot/state.hpp"
#include "solver/results.hpp"

namespace raybend {

/// Fills DesignResult::bones on rank 0: outer surface of the five metatarsals at their deformed place, with
/// the stress along the ray averaged over the cells that meet at a node.
void extract_bones(const ForefootState &state, unsigned level, const Vector &u, DesignResult &result);

} // namespace raybend
