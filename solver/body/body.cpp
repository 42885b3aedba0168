// A body as a problem with its levels: solved, and read at points and sections.
#include "solver/body/body.hpp"
#include "solver/body/dilatation.hpp"
#include "solver/operator/small_tensors.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/dofs/dof_tools.h>
#include <deal.II/grid/grid_tools.h>
#include <stdexcept>

namespace raybend {

using namespace dealii;

Problem box_problem(const Vec3 &low, const Vec3 &high, const std::array<unsigned, 3> &cells,
                    MaterialPtr material, std::function<Vec3(const Vec3 &)> position) {
  Problem p;
  p.mesh = box_mesh(low, high, cells);
  p.position = position ? std::move(position) : [](const Vec3 &l) { return l; };
  p.materials = {std::move(material)};
  p.material_at = [](const Vec3 &, unsigned) { return 0u; };
  return p;
}

Body::Body(Problem problem, unsigned refinements, bool direct, MPI_Comm comm)
    : comm_(comm), refinements_(refinements), problem_(std::move(problem)) {
  for (unsigned r = direct ? refinements : 0; r <= refinements; ++r) {
    levels_.push_back(std::make_unique<Level>(problem_, r, comm_));
    operators_.push_back(std::make_unique<SolidOperator>(problem_, *levels_.back()));
    preconditioner_ = std::make_shared<Preconditioner>(*operators_.back(), preconditioner_);
  }
  op().initialize_dof_vector(u);
}

void Body::make_free() const {
  if (free_operator_)
    return;
  free_problem_ = problem_;
  free_problem_.fixed.clear();
  free_problem_.fixed_nodes.clear();
  free_level_ = std::make_unique<Level>(free_problem_, refinements_, comm_);
  free_operator_ = std::make_unique<SolidOperator>(free_problem_, *free_level_);
}

Vector Body::unbalanced(double load, bool linear) const {
  make_free();
  Vector v, r, zero;
  for (Vector *x : {&v, &r, &zero})
    free_operator_->initialize_dof_vector(*x);
  for (unsigned i = 0; i < v.locally_owned_size(); ++i)
    v.local_element(i) = u.local_element(i);
  if (!linear) {
    if (!free_operator_->evaluate(v, load, &r).admissible)
      throw std::runtime_error("the body is turned inside out somewhere");
    return r;
  }
  Vector at_rest(r);
  free_operator_->evaluate(zero, load, &at_rest);
  free_operator_->linearize(zero, load, false);
  free_operator_->vmult(r, v);
  r += at_rest;
  if (problem_.thermal_strain)
    add_thermal(r, -load);
  return r;
}

void Body::solve_linear(double reduction) {
  Vector zero, b, step;
  for (Vector *x : {&zero, &b, &step})
    op().initialize_dof_vector(*x);
  u = 0;
  set_prescribed(problem_, level(), u, 1.0);
  const Vector r = unbalanced(1.0, true);
  for (unsigned i = 0; i < b.locally_owned_size(); ++i)
    b.local_element(i) = -r.local_element(i);
  level().constraints.set_zero(b);
  op().linearize(zero, 1.0, false);
  preconditioner_->update(zero, 1.0);
  if (conjugate_gradients(op(), *preconditioner_, step, b, reduction, 500, iterations) != CgEnd::reached)
    throw std::runtime_error("conjugate gradients did not converge in " + std::to_string(iterations) +
                             " iterations");
  u += step;
}

NewtonReport Body::solve(double load, double force, double tolerance, unsigned max_steps) {
  set_prescribed(problem_, level(), u, load);
  NewtonControl control;
  control.force_scale = force;
  control.tolerance = tolerance;
  control.max_steps = max_steps;
  return newton(op(), *preconditioner_, u, load, control);
}

Sample Body::at(const Vec3 &logical) const {
  const auto found = GridTools::find_active_cell_around_point(MappingQ1<3>(), level().dofs,
                                                              Point<3>(logical[0], logical[1], logical[2]));
  const Point<3> unit = GeometryInfo<3>::project_to_unit_cell(found.second);
  FEValues<3> values(*level().mapping, level().fe, Quadrature<3>(unit),
                     update_values | update_gradients | update_quadrature_points);
  values.reinit(found.first);
  std::vector<types::global_dof_index> index(level().fe.n_dofs_per_cell());
  found.first->get_dof_indices(index);
  Sample s;
  s.x = vec(values.quadrature_point(0));
  s.material = problem_.material_at(logical, found.first->material_id());
  for (unsigned i = 0; i < index.size(); ++i) {
    const unsigned c = level().fe.system_to_component_index(i).first;
    s.u[c] += u[index[i]] * values.shape_value(i, 0);
    s.gradient[c] += u[index[i]] * values.shape_grad(i, 0);
  }
  Dilatation dilatation(*this);
  dilatation.reinit(found.first);
  dilatation.mix(s);
  return s;
}

Sym2 Body::small_stress(const Sample &s) const {
  Sym2 stress;
  Sym4 cc;
  problem_.materials[s.material]->tangent(Tensor2(unit_symmetric_tensor<3>()), stress, cc);
  Sym2 strain = symmetrize(s.gradient);
  if (problem_.thermal_strain)
    strain -= problem_.thermal_strain(s.x) * unit_symmetric_tensor<3>();
  const Material &m = *problem_.materials[s.material];
  return cc * strain +
         (m.mixed() ? m.volume_energy(1).curvature * s.extra_dilatation : 0.0) * unit_symmetric_tensor<3>();
}

Sym2 Body::cauchy_stress(const Sample &s) const {
  const Tensor2 f = s.gradient + Tensor2(unit_symmetric_tensor<3>());
  return symmetrize((1 / determinant(f)) *
                    (f * Tensor2(problem_.materials[s.material]->stress(f)) * transpose(f)));
}

NodalSum Body::section(int axis, double value, const Vec3 &centre) const {
  // Nodal forces of the cells before the plane on the plane's nodes: int sigma . grad N_i, in balance to the
  // solver's tolerance.
  FEValues<3> values(*level().mapping, level().fe, QGauss<3>(n_points_1d),
                     update_gradients | update_JxW_values | update_quadrature_points);
  std::vector<std::vector<Tensor<1, 3>>> gradients(values.n_quadrature_points, std::vector<Tensor<1, 3>>(3));
  std::vector<types::global_dof_index> index(level().fe.n_dofs_per_cell());
  Dilatation dilatation(*this);
  NodalSum sum;
  for (const auto &cell : level().dofs.active_cell_iterators())
    for (const unsigned f : cell->face_indices()) {
      if (std::abs(cell->face(f)->center(true)[axis] - value) > 1e-8 || cell->center()[axis] > value)
        continue;
      values.reinit(cell);
      dilatation.reinit(cell);
      values.get_function_gradients(u, gradients);
      cell->get_dof_indices(index);
      std::vector<double> nodal(index.size(), 0.0);
      for (unsigned q = 0; q < values.n_quadrature_points; ++q) {
        Sample s;
        for (unsigned c = 0; c < 3; ++c)
          s.gradient[c] = gradients[q][c];
        s.x = vec(values.quadrature_point(q));
        s.material = problem_.material_at(vec(cell->center()), cell->material_id());
        dilatation.mix(s);
        const Sym2 stress = small_stress(s);
        for (unsigned i = 0; i < index.size(); ++i)
          nodal[i] += values.JxW(q) *
                      (stress * values.shape_grad(i, q))[level().fe.system_to_component_index(i).first];
      }
      const NodalSum part = sum_on_nodes(level(), index, f, nodal, nullptr, centre);
      sum.force = sum.force + part.force;
      sum.moment = sum.moment + part.moment;
    }
  return sum;
}

double Body::face_integral(unsigned id, const std::function<Vec3(const Vec3 &)> &weight) const {
  const QGauss<2> quadrature(4);
  FEFaceValues<3> values(*level().mapping, level().fe, quadrature,
                         update_values | update_quadrature_points | update_JxW_values);
  std::vector<dealii::Vector<double>> displacement(quadrature.size(), dealii::Vector<double>(3));
  double sum = 0;
  for (const auto &cell : level().dofs.active_cell_iterators())
    for (const unsigned f : cell->face_indices()) {
      if (!cell->face(f)->at_boundary() || cell->face(f)->boundary_id() != id)
        continue;
      values.reinit(cell, f);
      values.get_function_values(u, displacement);
      for (unsigned q = 0; q < quadrature.size(); ++q) {
        const Vec3 w = weight(vec(values.quadrature_point(q)));
        for (unsigned c = 0; c < 3; ++c)
          sum += w[c] * displacement[q][c] * values.JxW(q);
      }
    }
  return sum;
}

double Body::face_area(unsigned id) const {
  const QGauss<2> quadrature(4);
  FEFaceValues<3> values(*level().mapping, level().fe, quadrature, update_JxW_values);
  double sum = 0;
  for (const auto &cell : level().dofs.active_cell_iterators())
    for (const unsigned f : cell->face_indices())
      if (cell->face(f)->at_boundary() && cell->face(f)->boundary_id() == id) {
        values.reinit(cell, f);
        for (unsigned q = 0; q < quadrature.size(); ++q)
          sum += values.JxW(q);
      }
  return sum;
}

Vec3 Body::sum_on_faces(const Vector &forces, const std::set<unsigned> &ids) const {
  Vec3 sum{};
  if (ids.empty())
    return sum; // deal.II would take all boundaries
  const std::set<types::boundary_id> boundaries(ids.begin(), ids.end());
  for (unsigned c = 0; c < 3; ++c) {
    std::vector<bool> mask(3, false);
    mask[c] = true;
    for (const auto i : DoFTools::extract_boundary_dofs(level().dofs, ComponentMask(mask), boundaries))
      sum[c] += forces[i];
  }
  return sum;
}

} // namespace raybend
