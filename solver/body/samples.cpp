// A body read at places of its reference shape, over faces and over its volume.
#include "solver/body/body.hpp"
#include "solver/body/dilatation.hpp"
#include "solver/operator/small_tensors.hpp"
#include <algorithm>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>
#include <stdexcept>

namespace raybend {

using namespace dealii;

namespace {

/// The solution at point q of `values`, whose cell has unknowns `index`.
Sample sample(const Body &body, const FEValuesBase<3> &values,
              const std::vector<types::global_dof_index> &index, unsigned q) {
  Sample s;
  s.x = vec(values.quadrature_point(q));
  for (unsigned i = 0; i < index.size(); ++i) {
    const unsigned c = body.level().fe.system_to_component_index(i).first;
    s.u[c] += body.u[index[i]] * values.shape_value(i, q);
    s.gradient[c] += body.u[index[i]] * values.shape_grad(i, q);
  }
  return s;
}

} // namespace

Sample Body::at_place(const Vec3 &place) const {
  const Point<3> wanted(place[0], place[1], place[2]);
  DoFHandler<3>::active_cell_iterator best;
  Point<3> best_unit;
  double nearest = 1e300;
  for (const auto &cell : level().dofs.active_cell_iterators()) {
    Point<3> low = level().mapping->transform_unit_to_real_cell(cell, Point<3>()), high = low;
    for (unsigned v = 1; v < 8; ++v) {
      const Point<3> p =
          level().mapping->transform_unit_to_real_cell(cell, GeometryInfo<3>::unit_cell_vertex(v));
      for (unsigned c = 0; c < 3; ++c) {
        low[c] = std::min(low[c], p[c]);
        high[c] = std::max(high[c], p[c]);
      }
    }
    const double room = 0.3 * low.distance(high);
    bool near = true;
    for (unsigned c = 0; c < 3; ++c)
      near &= wanted[c] > low[c] - room && wanted[c] < high[c] + room;
    if (!near)
      continue;
    Point<3> unit;
    try {
      unit = level().mapping->transform_real_to_unit_cell(cell, wanted);
    } catch (const Mapping<3>::ExcTransformationFailed &) {
      continue;
    }
    const Point<3> inside = GeometryInfo<3>::project_to_unit_cell(unit);
    const double away = unit.distance(inside);
    if (away < nearest - 1e-9) {
      nearest = away;
      best = cell;
      best_unit = inside;
    }
  }
  if (nearest > 0.2)
    throw std::runtime_error("the body has no point at (" + std::to_string(place[0]) + ", " +
                             std::to_string(place[1]) + ", " + std::to_string(place[2]) + ")");
  FEValues<3> values(*level().mapping, level().fe, Quadrature<3>(best_unit),
                     update_values | update_gradients | update_quadrature_points);
  values.reinit(best);
  std::vector<types::global_dof_index> index(level().fe.n_dofs_per_cell());
  best->get_dof_indices(index);
  Sample s = sample(*this, values, index, 0);
  s.material = problem_.material_at(Level::logical_point(best, best_unit), best->material_id());
  Dilatation dilatation(*this);
  dilatation.reinit(best);
  dilatation.mix(s);
  return s;
}

void Body::on_face(unsigned id,
                   const std::function<void(const Sample &, double, const Vec3 &)> &visit) const {
  const QGauss<2> quadrature(4);
  FEFaceValues<3> values(*level().mapping, level().fe, quadrature,
                         update_values | update_gradients | update_quadrature_points | update_JxW_values |
                             update_normal_vectors);
  std::vector<types::global_dof_index> index(level().fe.n_dofs_per_cell());
  Dilatation dilatation(*this);
  for (const auto &cell : level().dofs.active_cell_iterators())
    for (const unsigned f : cell->face_indices()) {
      if (!cell->face(f)->at_boundary() || cell->face(f)->boundary_id() != id)
        continue;
      values.reinit(cell, f);
      dilatation.reinit(cell);
      cell->get_dof_indices(index);
      for (unsigned q = 0; q < quadrature.size(); ++q) {
        Sample s = sample(*this, values, index, q);
        s.material = problem_.material_at(vec(cell->center()), cell->material_id());
        dilatation.mix(s);
        const Tensor<1, 3> n = values.normal_vector(q);
        visit(s, values.JxW(q), {n[0], n[1], n[2]});
      }
    }
}

void Body::everywhere(const std::function<void(const Sample &, double)> &visit, unsigned points) const {
  const QGauss<3> quadrature(points);
  FEValues<3> values(*level().mapping, level().fe, quadrature,
                     update_values | update_gradients | update_quadrature_points | update_JxW_values);
  std::vector<types::global_dof_index> index(level().fe.n_dofs_per_cell());
  Dilatation dilatation(*this);
  for (const auto &cell : level().dofs.active_cell_iterators()) {
    values.reinit(cell);
    dilatation.reinit(cell);
    cell->get_dof_indices(index);
    for (unsigned q = 0; q < quadrature.size(); ++q) {
      Sample s = sample(*this, values, index, q);
      s.material = problem_.material_at(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      dilatation.mix(s);
      visit(s, values.JxW(q));
    }
  }
}

void Body::refresh() {
  for (const auto &op : operators_)
    op->update_problem(problem_);
  if (free_operator_) {
    free_problem_ = problem_;
    free_problem_.fixed.clear();
    free_problem_.fixed_nodes.clear();
    free_operator_->update_problem(free_problem_);
  }
}

// r += factor * int C : (alpha I) : grad phi,  alpha the free thermal strain.
void Body::add_thermal(Vector &r, double factor) const {
  const QGauss<3> quadrature(n_points_1d + 1);
  FEValues<3> values(*level().mapping, level().fe, quadrature,
                     update_gradients | update_quadrature_points | update_JxW_values);
  std::vector<types::global_dof_index> index(level().fe.n_dofs_per_cell());
  for (const auto &cell : level().dofs.active_cell_iterators()) {
    values.reinit(cell);
    cell->get_dof_indices(index);
    for (unsigned q = 0; q < quadrature.size(); ++q) {
      Sample rest; // free of displacement: the stress is that of the thermal strain alone, negative
      rest.x = vec(values.quadrature_point(q));
      rest.material =
          problem_.material_at(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      const Sym2 stress = small_stress(rest);
      for (unsigned i = 0; i < index.size(); ++i)
        r[index[i]] -= factor * values.JxW(q) *
                       (stress * values.shape_grad(i, q))[level().fe.system_to_component_index(i).first];
    }
  }
}

} // namespace raybend
