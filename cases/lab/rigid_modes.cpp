// The six rigid-body modes of a body that nothing holds.
#include "cases/lab/rigid_modes.hpp"
#include "solver/body/body.hpp"
#include <algorithm>
#include <deal.II/lac/lapack_full_matrix.h>

namespace raybend {

RigidModes rigid_modes(Body &body) {
  Vector rest(body.u);
  rest = 0;
  body.op().linearize(rest, 0, false);
  LowerTriangle k;
  body.op().assemble(k);
  const unsigned n = k.size();
  if (n > 4000)
    throw std::runtime_error("rigid-body modes: too many unknowns (" + std::to_string(n) +
                             ") for dense eigenvalues");
  dealii::LAPACKFullMatrix<double> dense(n, n);
  k.visit([&dense](unsigned row, unsigned column, double value) {
    dense(row, column) = dense(column, row) = value;
  });
  dealii::FullMatrix<double> vectors;
  dealii::Vector<double> values;
  dense.compute_eigenvalues_symmetric(-1e300, 1e300, 0.0, values, vectors);
  RigidModes modes{0, 0};
  for (unsigned i = 0; i < 6; ++i)
    modes.ratio = std::max(modes.ratio, std::abs(values[i]) / values[6]);
  for (unsigned mode = 0; mode < 6; ++mode) {
    Vector r(body.u), image(body.u);
    const auto &level = body.level();
    std::vector<dealii::types::global_dof_index> index(level.fe.n_dofs_per_cell());
    for (const auto &cell : level.dofs.active_cell_iterators()) {
      cell->get_dof_indices(index);
      std::map<std::array<double, 3>, Vec3> places;
      const auto &support = level.fe.get_unit_support_points();
      const auto key = [&](unsigned i) {
        return std::array<double, 3>{support[i][0], support[i][1], support[i][2]};
      };
      for (unsigned i = 0; i < index.size(); ++i)
        places[key(i)][level.fe.system_to_component_index(i).first] = level.position[index[i]];
      for (unsigned i = 0; i < index.size(); ++i) {
        Vec3 e{};
        e[mode % 3] = 1;
        r[index[i]] = (mode < 3 ? e : cross(e, places[key(i)]))[level.fe.system_to_component_index(i).first];
      }
    }
    body.op().vmult(image, r);
    modes.image = std::max(modes.image, image.linfty_norm() / (values[n - 1] * r.linfty_norm()));
  }
  return modes;
}

} // namespace raybend
