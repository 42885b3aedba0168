// The volume change that a mixed cell's pressure sees, for reading stress.
#include "solver/body/dilatation.hpp"
#include "solver/operator/small_tensors.hpp"
#include <deal.II/base/quadrature_lib.h>

namespace raybend {

using namespace dealii;

void Dilatation::reinit(const DoFHandler<3>::active_cell_iterator &cell) {
  cell_ = cell;
  projected_ = false;
}

void Dilatation::mix(Sample &s) {
  if (!body_.problem().materials[s.material]->mixed())
    return;
  if (!projected_)
    project();
  s.extra_dilatation = mixed_.at(Point<3>(s.x[0], s.x[1], s.x[2]), coefficients_) - trace(s.gradient);
}

void Dilatation::project() {
  const Level &level = body_.level();
  if (!values_)
    values_.emplace(*level.mapping, level.fe, QGauss<3>(n_points_1d),
                    update_gradients | update_quadrature_points | update_JxW_values);
  values_->reinit(cell_);
  std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
  cell_->get_dof_indices(index);
  std::array<Point<3>, MixedCell::points> place;
  MixedCell::Values weight, divergence{};
  for (unsigned q = 0; q < MixedCell::points; ++q) {
    place[q] = values_->quadrature_point(q);
    weight[q] = values_->JxW(q);
    for (unsigned i = 0; i < index.size(); ++i)
      divergence[q] +=
          body_.u[index[i]] * values_->shape_grad(i, q)[level.fe.system_to_component_index(i).first];
  }
  mixed_.reinit(place, weight);
  coefficients_ = mixed_.coefficients(divergence);
  projected_ = true;
}

} // namespace raybend
