// Loads that do not depend on the displacement.
#pragma once
#include "solver/discretization/level.hpp"

namespace raybend {

/// p with p . u = direction . mean of u over the region, the mean weighted as Region says; fixed unknowns count. Throws std::runtime_error if
/// no cell has its middle in the region.
Vector region_vector(const Level &level, const Region &region, const Vec3 &direction);

/// int_B b.v dV + int_T t.v dA + forces.mean v: body force, tractions and forces on regions, N; fixed unknowns have
/// none.
Vector dead_loads(const Problem &problem, const Level &level);

} // namespace raybend
