// The nonlinear operator of a problem on one level: energy, residual, tangent.
#include "solver/operator/solid_operator.hpp"
#include "solver/operator/evaluators.hpp"
#include "solver/operator/folded_cell.hpp"
#include "solver/operator/plain_tensors.hpp"
#include <algorithm>
#include <deal.II/base/quadrature_lib.h>

namespace raybend {

using namespace dealii;

namespace {
constexpr double level_bound = 0.5; // shear moduli of compressive stress where the tangent is bounded
} // namespace

SolidOperator::SolidOperator(const Problem &problem, const Level &level) : problem_(&problem), level_(level) {
  linearized_.resize(level.matrix_free.n_cell_batches() * n_q);
  update_problem(problem);
}

void SolidOperator::update_problem(const Problem &problem) {
  problem_ = &problem;
  ++shape_number_;
  make_materials();
  make_mixed_cells();
  make_faces();
  make_kernels();
  make_vectors();
}

void SolidOperator::make_materials() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const QGauss<3> quadrature(n_points_1d);
  material_.resize(mf.n_cell_batches() * n_q);
  CellEval phi(mf);
  double scale = 0;
  std::array<double, 4> folded = {0, 0, 0, 0}; // whether a cell is, its place; the last one's
  double tag = 0;
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const auto cell = mf.get_cell_iterator(c, 0);
    phi.reinit(c);
    for (unsigned q = 0; q < n_q; ++q) {
      if (!(phi.JxW(q)[0] > 0)) {
        const Vec3 place = Level::logical_point(cell, quadrature.point(q));
        folded = {1, place[0], place[1], place[2]};
        tag = cell->material_id();
      }
      unsigned &index = material_[c * n_q + q];
      index = problem_->material_at(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      scale += problem_->materials[index]->initial_shear() * phi.JxW(q)[0];
    }
  }
  const std::vector<double> mine = {folded[0], folded[1], folded[2], folded[3], tag};
  for (const auto &theirs : Utilities::MPI::all_gather(level_.comm, mine))
    if (theirs[0] > 0)
      throw FoldedCell({theirs[1], theirs[2], theirs[3]}, static_cast<unsigned>(theirs[4]));
  stiffness_volume_ = Utilities::MPI::sum(scale, level_.comm);
}

SolidOperator::Evaluation SolidOperator::evaluate(const Vector &u, double load, Vector *residual) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  energy_ = 0;
  admissible_ = true;
  skip_forces_ = residual == nullptr;
  Vector scratch;
  if (residual == nullptr)
    level_.initialize(scratch);
  Vector &r = residual ? *residual : scratch;
  mf.loop(&SolidOperator::residual_cells, &SolidOperator::residual_inner, &SolidOperator::residual_boundary,
          this, r, u, true);
  Evaluation result;
  result.noise = 2e-15 * stiffness_volume_;
  result.admissible = Utilities::MPI::min(admissible_ ? 1 : 0, level_.comm) == 1;
  if (!result.admissible)
    return result;
  result.energy = Utilities::MPI::sum(energy_, level_.comm) - load * (external_ * u);

  const Small small = solve_small(u, load);
  result.admissible = small.settled;
  const unsigned modes = small.motion.size();
  if (modes > 0) {
    result.energy += load * problem_->carrier.force * small.motion[0];
    for (unsigned m = 0; m < problem_->carrier.modes.size(); ++m) {
      const Held held = held_by(m);
      const double off = small.motion[m] - load * held.rest;
      result.energy += load * held.push * small.motion[m] + held.stiffness / 2 * off * off;
    }
    for (unsigned m = 0; m < modes; ++m) {
      const double across = small.motion[m] * small.product[tie_.size() + m];
      result.energy -= across;
      // Stiff springs that ride far: large terms that cancel (springs' own energy has the size of `across`), and
      // each a sum over thousands of points. Measured with clamped bases: 8e-15.
      result.noise += 1e-14 * std::abs(across);
      for (unsigned n = 0; n < modes; ++n)
        result.energy += 0.5 * small.motion[m] * small.motion[n] * spring_g_(m, n);
    }
  }
  for (const TiePull &pull : small.pull)
    result.energy += pull.energy;
  if (residual) {
    r.add(-load, external_);
    dealii::Vector<double> along(low_rank_.columns.size());
    for (unsigned m = 0; m < modes; ++m)
      along[tie_.size() + m] = -small.motion[m];
    for (unsigned k = 0; k < small.pull.size(); ++k)
      for (unsigned i = 0; i < tie_columns_[k].axes.size(); ++i)
        along[tie_columns_[k].first + i] = small.pull[k].tension * small.pull[k].gradient[i];
    low_rank_.add(r, along);
    level_.constraints.set_zero(r);
  }
  return result;
}

SolidOperator::Pressed SolidOperator::most_pressed(const Vector &u) const {
  const QGauss<3> quadrature(n_points_1d);
  const bool had_ghosts = u.has_ghost_elements();
  u.update_ghost_values();
  CellEval phi(level_.matrix_free);
  std::vector<double> mine = {1, 0, 0, 0, 0}; // volume, place, tag
  for (unsigned c = 0; c < level_.matrix_free.n_cell_batches(); ++c) {
    const auto cell = level_.matrix_free.get_cell_iterator(c, 0);
    phi.reinit(c);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      const double volume = determinant(deformation(plain(phi.get_gradient(q))));
      if (volume >= mine[0])
        continue;
      const Vec3 place = Level::logical_point(cell, quadrature.point(q));
      mine = {volume, place[0], place[1], place[2], double(cell->material_id())};
    }
  }
  if (!had_ghosts)
    u.zero_out_ghost_values();
  const auto all = Utilities::MPI::all_gather(level_.comm, mine);
  const auto &worst = *std::min_element(all.begin(), all.end());
  return {worst[0], {worst[1], worst[2], worst[3]}, static_cast<unsigned>(worst[4])};
}

void SolidOperator::residual_cells(const MatrixFree<3, double> &mf, Vector &dst, const Vector &src,
                                   const Range &range) const {
  CellEval phi(mf);
  Tensor2 f[n_q];
  Sym2 s[n_q];
  for (unsigned c = range.first; c < range.second; ++c) {
    phi.reinit(c);
    phi.read_dof_values_plain(src);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      f[q] = deformation(plain(phi.get_gradient(q)));
      const Material &material = *problem_->materials[material_[c * n_q + q]];
      if (!material.admissible(f[q])) {
        admissible_ = false;
        return;
      }
      energy_ += material.energy_and_stress(f[q], s[q]) * phi.JxW(q)[0];
    }
    if (mixed_of_[c] >= 0) {
      const Material &material = *problem_->materials[material_[c * n_q]];
      MixedCell::Values theta;
      if (!project_pressure(material, mixed_[mixed_of_[c]], f, s, &theta)) {
        admissible_ = false;
        return;
      }
      for (unsigned q = 0; q < n_q; ++q)
        energy_ +=
            (material.volume_energy(theta[q]).value - material.volume_energy(determinant(f[q])).value) *
            phi.JxW(q)[0];
    }
    if (skip_forces_)
      continue;
    for (unsigned q = 0; q < n_q; ++q)
      phi.submit_gradient(wide(f[q] * Tensor2(s[q])), q);
    phi.integrate(EvaluationFlags::gradients);
    phi.distribute_local_to_global(dst);
  }
}

void SolidOperator::linearize(const Vector &u, double load, bool on_level) {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const bool had_ghosts = u.has_ghost_elements();
  u.update_ghost_values();
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    phi.reinit(c);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      const std::size_t at = c * n_q + q;
      Linearized &p = linearized_[at];
      p.f = deformation(plain(phi.get_gradient(q)));
      const Material &material = *problem_->materials[material_[at]];
      if (on_level && !material.admissible(p.f)) { // an interpolated state can be worse than the state itself
        p.f = 0;
        for (unsigned i = 0; i < 3; ++i)
          p.f[i][i] = 1;
      }
      p.invariant = material.invariant_tangent(p.f, p.tangent);
      if (!p.invariant) {
        general_.resize(linearized_.size());
        material.tangent(p.f, general_[at].s, general_[at].cc);
      }
    }
    if (mixed_of_[c] >= 0)
      linearize_mixed(c);
  }
  exact_ready_ = !on_level;
  fill_cells(on_level ? level_bound : -1, exact_ready_ ? &exact_ : nullptr, &rough_);
  if (!on_level) {
    find_contact(u);
    fill_faces();
  }
  if (!had_ghosts)
    u.zero_out_ghost_values();

  make_low_rank(u, load);
}

void SolidOperator::bound_tangent() {
  fill_cells(level_bound, &exact_, &rough_);
}

template <typename Number, typename Values>
void SolidOperator::tangent_product(const TangentKernel<Number> &kernel, Values &dst,
                                    const Values &src) const {
  const bool had_ghosts = src.has_ghost_elements();
  src.update_ghost_values();
  dst = 0;
  dst.zero_out_ghost_values();
  kernel.vmult_add(dst, src);
  dst.compress(VectorOperation::add);
  if (!had_ghosts)
    src.zero_out_ghost_values();
  low_rank_.vmult_add(dst, src);
  level_.constraints.set_zero(dst);
}

void SolidOperator::vmult(Vector &dst, const Vector &src) const {
  if (exact_ready_)
    tangent_product(exact_, dst, src);
  else
    tangent_product(rough_, dst, src);
}

void SolidOperator::rough_vmult(Vector &dst, const Vector &src) const {
  tangent_product(rough_, dst, src);
}

void SolidOperator::rough_vmult(RoughVector &dst, const RoughVector &src) const {
  tangent_product(rough_, dst, src);
}

} // namespace raybend
