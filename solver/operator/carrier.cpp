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
  tie_columns_.clear();
  for (const Tie &tie : problem_->ties) {
    TieColumns columns{tie_axes(tie), static_cast<unsigned>(tie_.size()), {}};
    columns.anchor.resize(modes);
    for (unsigned i = 0; i < columns.axes.size(); ++i) {
      tie_.push_back(region_vector(tie.region, columns.axes[i]));
      if (tie.other)
        tie_.back().add(-1.0, region_vector(tie.other, columns.axes[i]));
      for (unsigned m = 0; m < carrier && (!tie.other || tie.both_on_carrier); ++m) {
        const auto &mode = problem_->carrier.modes[m];
        columns.anchor[m][i] = dot(columns.axes[i], mode(tie.anchor));
        if (tie.other)
          columns.anchor[m][i] -= dot(columns.axes[i], mode(tie.other_anchor));
      }
    }
    tie_columns_.push_back(columns);
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
  low_rank_.columns.clear();
  for (const Vector &v : tie_)
    low_rank_.columns.push_back(&v);
  for (const Vector &v : spring_carrier_)
    low_rank_.columns.push_back(&v);
  low_rank_.finish();
}

SolidOperator::Held SolidOperator::held_by(const unsigned m) const {
  const std::vector<Carrier::Holding> &all = problem_->carrier.holding;
  if (m >= all.size())
    return {};
  const unsigned level = level_.triangulation.n_global_levels() - 1;
  const auto of_level = [level](const std::vector<double> &list) {
    return level < list.size() ? list[level] : 0.0;
  };
  return {all[m].stiffness, of_level(all[m].push), of_level(all[m].rest)};
}

std::vector<double> SolidOperator::holding_forces(const std::vector<double> &motion, double load) const {
  std::vector<double> forces;
  for (unsigned m = 0; m < problem_->carrier.modes.size(); ++m) {
    const Held held = held_by(m);
    forces.push_back(load * held.push + held.stiffness * (motion[m] - load * held.rest));
  }
  return forces;
}

// Newton's method for the motion w of carrier and slide at given u: exact in one step unless a tie swings or goes
// slack.
SolidOperator::Small SolidOperator::solve_small(const Vector &u, double load) const {
  constexpr unsigned most_steps = 30;
  constexpr double rounding = 1e-12, nearly = 1e-8; // changes of the motion, of its size (1 mm at least)
  const unsigned modes = n_modes(), ties = problem_->ties.size();
  Small small;
  small.product = low_rank_.project(u);
  small.motion.assign(modes, 0.0);
  small.pull.resize(ties);
  double last = 0; // largest change of the step before
  for (unsigned step = 0; step <= most_steps; ++step) {
    small.g = spring_g_;
    dealii::Vector<double> gradient(modes), change(modes); // dPi / dw, and the step
    for (unsigned m = 0; m < modes; ++m) {
      gradient[m] = (m == 0 ? load * problem_->carrier.force : 0.0) - small.product[tie_.size() + m];
      for (unsigned n = 0; n < modes; ++n)
        gradient[m] += spring_g_(m, n) * small.motion[n];
    }
    for (unsigned m = 0; m < problem_->carrier.modes.size(); ++m) {
      const Held held = held_by(m);
      gradient[m] += load * held.push + held.stiffness * (small.motion[m] - load * held.rest);
      small.g(m, m) += held.stiffness;
    }
    bool changed = step == 0;
    for (unsigned r = 0; r < ties; ++r) {
      const TieColumns &columns = tie_columns_[r];
      std::array<double, 3> d{};
      for (unsigned i = 0; i < columns.axes.size(); ++i) {
        d[i] = small.product[columns.first + i];
        for (unsigned m = 0; m < modes; ++m)
          d[i] -= columns.anchor[m][i] * small.motion[m];
      }
      const TiePull pull = tie_pull(problem_->ties[r], load, d);
      changed = changed || pull.taut != small.pull[r].taut;
      small.pull[r] = pull;
      for (unsigned m = 0; m < modes; ++m)
        for (unsigned i = 0; i < columns.axes.size(); ++i) {
          gradient[m] -= columns.anchor[m][i] * pull.tension * pull.gradient[i];
          for (unsigned n = 0; n < modes; ++n)
            for (unsigned j = 0; j < columns.axes.size(); ++j)
              small.g(m, n) += columns.anchor[m][i] * pull.stiffness[i][j] * columns.anchor[n][j];
        }
    }
    if (modes > 0) {
      FullMatrix<double> inverse(small.g);
      inverse.gauss_jordan();
      inverse.vmult(change, gradient);
    }
    double size = 1, largest = 0;
    for (unsigned m = 0; m < modes; ++m) {
      size = std::max(size, std::abs(small.motion[m]));
      largest = std::max(largest, std::abs(change[m]));
    }
    // Between very stiff springs rounding keeps the changes from falling further.
    small.settled =
        !changed && (largest <= rounding * size || (largest <= nearly * size && largest > last / 2));
    if (small.settled)
      break;
    last = largest;
    for (unsigned m = 0; m < modes; ++m)
      small.motion[m] -= change[m];
  }
  return small;
}

std::vector<double> SolidOperator::carrier_motion(const Vector &u, double load) const {
  return solve_small(u, load).motion;
}
std::vector<double> SolidOperator::tie_tensions(const Vector &u, double load) const {
  std::vector<double> tensions;
  for (const TiePull &pull : solve_small(u, load).pull)
    tensions.push_back(pull.tension);
  return tensions;
}
std::vector<Vec3> SolidOperator::tie_forces(const Vector &u, double load) const {
  const Small small = solve_small(u, load);
  std::vector<Vec3> forces;
  for (unsigned r = 0; r < small.pull.size(); ++r) {
    Vec3 force = {0, 0, 0};
    for (unsigned i = 0; i < tie_columns_[r].axes.size(); ++i)
      force = force - small.pull[r].tension * small.pull[r].gradient[i] * tie_columns_[r].axes[i];
    forces.push_back(force);
  }
  return forces;
}

// The low-rank part of the tangent at u: sum_r P_r K_r P_r^T of the ties, and -C G^-1 C^T with
// C = C_springs + sum_r P_r K_r A_r (A_r: the modes at the anchor along the tie's axes), both in the columns P_r and
// C_springs, which a displacement does not change.
void SolidOperator::make_low_rank(const Vector &u, double load) {
  const Small small = solve_small(u, load);
  const unsigned modes = small.motion.size(), ties = tie_.size();
  FullMatrix<double> coupling(ties + modes, modes); // C in these columns
  low_rank_.m.reinit(ties + modes, ties + modes);
  for (unsigned r = 0; r < small.pull.size(); ++r) {
    const TieColumns &columns = tie_columns_[r];
    for (unsigned i = 0; i < columns.axes.size(); ++i)
      for (unsigned j = 0; j < columns.axes.size(); ++j) {
        const double k = small.pull[r].stiffness[i][j];
        low_rank_.m(columns.first + i, columns.first + j) = k;
        for (unsigned m = 0; m < modes; ++m)
          coupling(columns.first + i, m) += k * columns.anchor[m][j];
      }
  }
  if (modes == 0)
    return;
  for (unsigned m = 0; m < modes; ++m)
    coupling(ties + m, m) = 1;
  FullMatrix<double> inverse(small.g), half(ties + modes, modes);
  inverse.gauss_jordan();
  coupling.mmult(half, inverse);
  half *= -1;
  half.mTmult(low_rank_.m, coupling, true);
}

} // namespace raybend
