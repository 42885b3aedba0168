// Nodal forces of a cell summed over one of its faces.
#include "solver/body/face_nodes.hpp"

namespace raybend {

NodalSum sum_on_nodes(const Level &level, const std::vector<dealii::types::global_dof_index> &index,
                      const unsigned face, const std::vector<double> &nodal, const Vector *u,
                      const Vec3 &centre) {
  NodalSum sum;
  for (unsigned node = 0; node < level.fe.n_dofs_per_cell() / 3; ++node) {
    if (!level.fe.has_support_on_face(level.fe.component_to_system_index(0, node), face))
      continue;
    Vec3 place{}, force{};
    for (unsigned c = 0; c < 3; ++c) {
      const unsigned i = level.fe.component_to_system_index(c, node);
      place[c] = level.position[index[i]] + (u ? (*u)[index[i]] : 0.0);
      force[c] = nodal[i];
    }
    sum.force = sum.force + force;
    sum.moment = sum.moment + cross(place - centre, force);
  }
  return sum;
}

} // namespace raybend
