// Nodal forces of a cell summed over one of its faces.
#pragma once
#include "solver/discretization/level.hpp"

namespace raybend {

struct NodalSum {
  Vec3 force{}, moment{}; ///< N, N mm about `centre`
};

/// `index`: the cell's unknowns; `nodal`: a force for each. `u`: displacement of the nodes; null: their places
/// in the reference shape count.
NodalSum sum_on_nodes(const Level &level, const std::vector<dealii::types::global_dof_index> &index,
                      unsigned face, const std::vector<double> &nodal, const Vector *u, const Vec3 &centre);

} // namespace raybend
