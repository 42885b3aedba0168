// Loads that do not depend on the displacement.
#include "solver/operator/dead_loads.hpp"
#include "solver/operator/evaluators.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>

namespace raybend {

using namespace dealii;

Vector region_vector(const Level &level, const Region &region, const Vec3 &direction) {
  const MatrixFree<3, double> &mf = level.matrix_free;
  const QGauss<3> quadrature(n_points_1d);
  Vector p;
  level.initialize(p);
  double total = 0;
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const auto cell = mf.get_cell_iterator(c, 0);
    if (region(Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5)), cell->material_id()) <= 0)
      continue;
    phi.reinit(c);
    for (unsigned q = 0; q < n_q; ++q) {
      const double w = region(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      total += w * phi.JxW(q)[0];
      phi.submit_value(wide(w * tensor(direction)), q);
    }
    phi.integrate(EvaluationFlags::values);
    add_to_all(phi, level, cell, p);
  }
  p.compress(VectorOperation::add);
  total = Utilities::MPI::sum(total, level.comm);
  if (!(total > 0))
    throw std::runtime_error(
        "a tie or a force acts on a region so small that no cell of the mesh has its middle in it");
  p /= total;
  return p;
}

Vector dead_loads(const Problem &problem, const Level &level) {
  const MatrixFree<3, double> &mf = level.matrix_free;
  Vector loads;
  level.initialize(loads);
  FaceEval phi(mf, true);
  const unsigned first = mf.n_inner_face_batches(), last = first + mf.n_boundary_face_batches();
  for (unsigned f = first; f < last; ++f)
    for (const TractionFace &face : problem.tractions) {
      if (mf.get_boundary_id(f) != face.id)
        continue;
      phi.reinit(f);
      for (unsigned q = 0; q < n_points_1d * n_points_1d; ++q)
        phi.submit_value(wide(tensor(face.traction(vec(real_point(phi.quadrature_point(q)))))), q);
      phi.integrate(EvaluationFlags::values);
      phi.distribute_local_to_global(loads);
    }

  if (problem.body_force) {
    FEValues<3> values(*level.mapping, level.fe, QGauss<3>(n_points_1d),
                       update_values | update_quadrature_points | update_JxW_values);
    std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
    dealii::Vector<double> local(index.size());
    for (const auto &cell : level.dofs.active_cell_iterators())
      if (cell->is_locally_owned()) {
        values.reinit(cell);
        local = 0;
        for (unsigned q = 0; q < n_q; ++q) {
          const Vec3 b = problem.body_force(vec(values.quadrature_point(q)));
          for (unsigned i = 0; i < index.size(); ++i)
            local[i] +=
                b[level.fe.system_to_component_index(i).first] * values.shape_value(i, q) * values.JxW(q);
        }
        cell->get_dof_indices(index);
        level.constraints.distribute_local_to_global(local, index, loads);
      }
  }
  loads.compress(VectorOperation::add);
  for (const RegionForce &force : problem.region_forces)
    loads.add(1.0, region_vector(level, force.region, force.force));
  level.constraints.set_zero(loads);
  loads.zero_out_ghost_values();
  return loads;
}

} // namespace raybend
