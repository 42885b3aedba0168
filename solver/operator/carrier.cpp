// Ties, the rigid carrier and the slide: what is eliminated, and the low-rank part that it leaves.
#include "solver/operator/evaluators.hpp"
#include "solver/operator/plain_tensors.hpp"
#include "solver/operator/solid_operator.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>

namespace raybend {

using namespace dealii;

Vector SolidOperator::region_vector(const Region &region, const Vec3 &direction) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const QGauss<3> quadrature(n_points_1d);
  Vector p;
  level_.initialize(p);
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
    phi.distribute_local_to_global(p);
  }
  p.compress(VectorOperation::add);
  total = Utilities::MPI::sum(total, level_.comm);
  if (!(total > 0))
    throw std::runtime_error(
        "a tie or a force acts on a region so small that no cell of the mesh has its middle in it");
  p /= total;
  return p;
}

unsigned SolidOperator::n_modes() const {
  return problem_->carrier.modes.size() + problem_->slide.size();
}

const std::function<Vec3(const Vec3 &)> &SolidOperator::mode(unsigned m) const {
  const unsigned carrier = problem_->carrier.modes.size();
  return m < carrier ? problem_->carrier.modes[m] : problem_->slide[m - carrier];
}

void SolidOperator::make_vectors() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const unsigned carrier = problem_->carrier.modes.size(), modes = n_modes();
  tie_.clear();
  tie_mode_.clear();
  for (const Tie &tie : problem_->ties) {
    tie_.push_back(region_vector(tie.region, tie.direction));
    std::vector<double> along;
    for (const auto &mode : problem_->carrier.modes)
      along.push_back(tie.other ? 0.0 : dot(tie.direction, mode(tie.anchor)));
    along.resize(modes, 0.0);
    if (tie.other)
      tie_.back().add(-1.0, region_vector(tie.other, tie.direction));
    tie_mode_.push_back(along);
  }

  spring_carrier_.assign(modes, Vector());
  for (Vector &v : spring_carrier_)
    level_.initialize(v);
  level_.initialize(external_);
  spring_g_.reinit(modes, modes);
  std::vector<double> g(modes * modes, 0.0);
  FaceEval phi(mf, true);
  for (unsigned f = mf.n_inner_face_batches(); f < slots_.size(); ++f) {
    const FaceSlot &slot = slots_[f];
    const SpringFace *spring = slot.kind == FaceKind::spring ? &problem_->springs[slot.item] : nullptr;
    const bool on_slide =
        spring ? spring->on_slide : slot.kind == FaceKind::ground && problem_->ground[slot.item].grip;
    const bool on_carrier = spring && spring->on_carrier;
    const unsigned first = on_carrier ? 0 : carrier, last = on_carrier ? carrier : modes;
    for (unsigned m = first; m < last && (on_carrier || on_slide); ++m) {
      phi.reinit(f);
      for (unsigned q = 0; q < n_q_face; ++q) {
        const Vec3 x = vec(real_point(phi.quadrature_point(q)));
        const Tensor<1, 3> v = tensor(mode(m)(x));
        const Tensor<1, 3> kv =
            spring ? spring_force(*spring, v) : plan_area(slot, q, phi.JxW(q)[0]) * grip_force(slot, q, v);
        for (unsigned n = first; n < last; ++n)
          g[m * modes + n] += kv * tensor(mode(n)(x)) * phi.JxW(q)[0];
        phi.submit_value(wide(kv), q);
      }
      phi.integrate(EvaluationFlags::values);
      phi.distribute_local_to_global(spring_carrier_[m]);
    }
    if (slot.kind == FaceKind::traction) {
      phi.reinit(f);
      for (unsigned q = 0; q < n_q_face; ++q)
        phi.submit_value(
            wide(tensor(problem_->tractions[slot.item].traction(vec(real_point(phi.quadrature_point(q)))))),
            q);
      phi.integrate(EvaluationFlags::values);
      phi.distribute_local_to_global(external_);
    }
  }
  for (Vector &v : spring_carrier_)
    v.compress(VectorOperation::add);
  for (unsigned m = 0; m < modes; ++m)
    for (unsigned n = 0; n < modes; ++n)
      spring_g_(m, n) = Utilities::MPI::sum(g[m * modes + n], level_.comm);

  if (problem_->body_force) {
    FEValues<3> values(*level_.mapping, level_.fe, QGauss<3>(n_points_1d),
                       update_values | update_quadrature_points | update_JxW_values);
    std::vector<types::global_dof_index> index(level_.fe.n_dofs_per_cell());
    dealii::Vector<double> local(index.size());
    for (const auto &cell : level_.dofs.active_cell_iterators())
      if (cell->is_locally_owned()) {
        values.reinit(cell);
        local = 0;
        for (unsigned q = 0; q < n_q; ++q) {
          const Vec3 b = problem_->body_force(vec(values.quadrature_point(q)));
          for (unsigned i = 0; i < index.size(); ++i)
            local[i] +=
                b[level_.fe.system_to_component_index(i).first] * values.shape_value(i, q) * values.JxW(q);
        }
        cell->get_dof_indices(index);
        level_.constraints.distribute_local_to_global(local, index, external_);
      }
  }
  external_.compress(VectorOperation::add);
  for (const RegionForce &force : problem_->region_forces)
    external_.add(1.0, region_vector(force.region, force.force));
  level_.constraints.set_zero(external_);
  external_.zero_out_ghost_values();
  small_columns_.columns.clear();
  for (const Vector &v : tie_)
    small_columns_.columns.push_back(&v);
  for (const Vector &v : spring_carrier_)
    small_columns_.columns.push_back(&v);
  small_columns_.finish();
}

SolidOperator::Small SolidOperator::solve_small(const Vector &u, double load) const {
  const unsigned modes = n_modes(), ties = problem_->ties.size();
  const dealii::Vector<double> product = small_columns_.project(u);

  Small small;
  small.motion.assign(modes, 0.0);
  small.active.assign(ties, true);
  small.tension.resize(ties);
  small.elongation.resize(ties);
  for (unsigned attempt = 0; attempt < 30; ++attempt) {
    small.g = spring_g_;
    dealii::Vector<double> rhs(modes), w(modes);
    for (unsigned m = 0; m < modes; ++m) {
      rhs[m] = product[ties + m] - (m == 0 ? load * problem_->carrier.force : 0.0);
      for (unsigned r = 0; r < ties; ++r) {
        const Tie &tie = problem_->ties[r];
        rhs[m] += tie_mode_[r][m] * load * tie.constant;
        if (!small.active[r])
          continue;
        rhs[m] += tie_mode_[r][m] * (load * tie.force + tie.stiffness * product[r]);
        for (unsigned n = 0; n < modes; ++n)
          small.g(m, n) += tie.stiffness * tie_mode_[r][m] * tie_mode_[r][n];
      }
    }
    if (modes > 0) {
      FullMatrix<double> inverse(small.g);
      inverse.gauss_jordan();
      inverse.vmult(w, rhs);
    }
    bool changed = false;
    for (unsigned r = 0; r < ties; ++r) {
      const Tie &tie = problem_->ties[r];
      double e = product[r];
      for (unsigned m = 0; m < modes; ++m)
        e -= tie_mode_[r][m] * w[m];
      const double t = load * tie.force + tie.stiffness * e;
      if ((t > 0) != small.active[r])
        changed = true;
      small.active[r] = t > 0;
      small.tension[r] = std::max(t, 0.0) + load * tie.constant;
      small.elongation[r] = e;
    }
    for (unsigned m = 0; m < modes; ++m)
      small.motion[m] = w[m];
    small.settled = !changed;
    if (small.settled)
      break;
  }
  return small;
}

std::vector<double> SolidOperator::carrier_motion(const Vector &u, double load) const {
  return solve_small(u, load).motion;
}
std::vector<double> SolidOperator::tie_tensions(const Vector &u, double load) const {
  return solve_small(u, load).tension;
}

// The low-rank part of the tangent at u.
void SolidOperator::make_low_rank(const Vector &u, double load) {
  const Small small = solve_small(u, load);
  const unsigned modes = small.motion.size();
  coupling_ = spring_carrier_;
  low_rank_.columns.clear();
  std::vector<double> stiffness;
  for (unsigned r = 0; r < small.tension.size(); ++r) {
    if (!small.active[r] || problem_->ties[r].stiffness <= 0)
      continue;
    for (unsigned m = 0; m < modes; ++m)
      coupling_[m].add(problem_->ties[r].stiffness * tie_mode_[r][m], tie_[r]);
    low_rank_.columns.push_back(&tie_[r]);
    stiffness.push_back(problem_->ties[r].stiffness);
  }
  const unsigned n = stiffness.size();
  low_rank_.m.reinit(n + modes, n + modes);
  for (unsigned i = 0; i < n; ++i)
    low_rank_.m(i, i) = stiffness[i];
  if (modes > 0) {
    FullMatrix<double> inverse(small.g);
    inverse.gauss_jordan();
    for (unsigned m = 0; m < modes; ++m) {
      low_rank_.columns.push_back(&coupling_[m]);
      for (unsigned k = 0; k < modes; ++k)
        low_rank_.m(n + m, n + k) = -inverse(m, k);
    }
  }
  low_rank_.finish();
}

} // namespace raybend
