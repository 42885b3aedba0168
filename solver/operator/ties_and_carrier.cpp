// Ties, the rigid carrier and the slide: what is eliminated, and the low-rank part that it leaves.
#include "solver/operator/ties_and_carrier.hpp"
#include "solver/operator/dead_loads.hpp"

namespace raybend {

using namespace dealii;

void TiesAndCarrier::update_problem(const Problem &problem, const Faces &faces) {
  problem_ = &problem;
  const unsigned carrier = problem.carrier.modes.size(), modes = carrier + problem.slide.size();
  tie_.clear();
  tie_columns_.clear();
  for (const Tie &tie : problem.ties) {
    TieColumns columns{tie_axes(tie), static_cast<unsigned>(tie_.size()), {}};
    columns.anchor.resize(modes);
    for (unsigned i = 0; i < columns.axes.size(); ++i) {
      tie_.push_back(region_vector(level_, tie.region, columns.axes[i]));
      if (tie.other)
        tie_.back().add(-1.0, region_vector(level_, tie.other, columns.axes[i]));
      const bool in_space = tie.toe && i + 1 == columns.axes.size();
      for (unsigned m = 0; m < carrier && !in_space && (!tie.other || tie.both_on_carrier); ++m) {
        const auto &mode = problem.carrier.modes[m];
        columns.anchor[m][i] = dot(columns.axes[i], mode(tie.anchor));
        if (tie.other)
          columns.anchor[m][i] -= dot(columns.axes[i], mode(tie.other_anchor));
      }
    }
    tie_columns_.push_back(columns);
  }

  spring_c_.assign(modes, Vector());
  for (Vector &v : spring_c_)
    level_.initialize(v);
  spring_g_.reinit(modes, modes);
  faces.add_coupling(spring_c_, spring_g_);

  low_rank_.columns.clear();
  at_fixed_.clear();
  for (auto *list : {&tie_, &spring_c_})
    for (Vector &v : *list) {
      at_fixed_.push_back(v);
      level_.constraints.set_zero(v);
      at_fixed_.back() -= v;
      if (at_fixed_.back().l2_norm() == 0)
        at_fixed_.back().reinit(0);
      low_rank_.columns.push_back(&v);
    }
  low_rank_.finish();
}

bool TiesAndCarrier::add_residual(Vector *residual, const Vector &u, double load, double &energy,
                                  double &noise) const {
  const Small small = solve_small(u, load);
  if (!small.settled)
    return false;
  const unsigned modes = small.motion.size();
  if (modes > 0) {
    energy += load * problem_->carrier.force * small.motion[0];
    for (unsigned m = 0; m < problem_->carrier.modes.size(); ++m) {
      const Held held = held_by(m);
      const double off = small.motion[m] - load * held.rest;
      energy += load * held.push * small.motion[m] + held.stiffness / 2 * off * off;
    }
    for (unsigned m = 0; m < modes; ++m) {
      const double across = small.motion[m] * small.product[tie_.size() + m];
      energy -= across;
      // Stiff springs that ride far: large terms that cancel (springs' own energy has the size of `across`), and
      // each a sum over thousands of points. Measured with clamped bases: 8e-15.
      noise += 1e-14 * std::abs(across);
      for (unsigned n = 0; n < modes; ++n)
        energy += 0.5 * small.motion[m] * small.motion[n] * spring_g_(m, n);
    }
  }
  for (const TiePull &pull : small.pull)
    energy += pull.energy;
  if (residual) {
    dealii::Vector<double> along(low_rank_.columns.size());
    for (unsigned m = 0; m < modes; ++m)
      along[tie_.size() + m] = -small.motion[m];
    for (unsigned k = 0; k < small.pull.size(); ++k)
      for (unsigned i = 0; i < tie_columns_[k].axes.size(); ++i)
        along[tie_columns_[k].first + i] = small.pull[k].force[i];
    low_rank_.add(*residual, along);
  }
  return true;
}

unsigned TiesAndCarrier::level_number() const {
  return level_.triangulation.n_global_levels() - 1;
}

TiesAndCarrier::Held TiesAndCarrier::held_by(const unsigned m) const {
  const std::vector<Carrier::Holding> &all = problem_->carrier.holding;
  if (m >= all.size())
    return {};
  return {all[m].stiffness, of_level(all[m].push, level_number()), of_level(all[m].rest, level_number())};
}

std::vector<double> TiesAndCarrier::holding_forces(const std::vector<double> &motion, double load) const {
  std::vector<double> forces;
  for (unsigned m = 0; m < problem_->carrier.modes.size(); ++m) {
    const Held held = held_by(m);
    forces.push_back(load * held.push + held.stiffness * (motion[m] - load * held.rest));
  }
  return forces;
}

// Newton's method for the motion w of carrier and slide at given u: exact in one step unless a tie swings or goes
// slack.
TiesAndCarrier::Small TiesAndCarrier::solve_small(const Vector &u, double load) const {
  constexpr unsigned most_steps = 30;
  constexpr double rounding = 1e-12, nearly = 1e-8; // changes of the motion, of its size (1 mm at least)
  const unsigned modes = spring_c_.size(), ties = problem_->ties.size();
  Small small;
  small.product = low_rank_.project(u);
  for (unsigned k = 0; k < at_fixed_.size(); ++k)
    if (at_fixed_[k].size() > 0)
      small.product[k] += at_fixed_[k] * u;
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
      std::array<double, TiePull::most_axes> d{};
      for (unsigned i = 0; i < columns.axes.size(); ++i) {
        d[i] = small.product[columns.first + i];
        for (unsigned m = 0; m < modes; ++m)
          d[i] -= columns.anchor[m][i] * small.motion[m];
      }
      const TiePull pull = tie_pull(problem_->ties[r], load, d, level_number());
      changed = changed || pull.taut != small.pull[r].taut;
      small.pull[r] = pull;
      for (unsigned m = 0; m < modes; ++m)
        for (unsigned i = 0; i < columns.axes.size(); ++i) {
          gradient[m] -= columns.anchor[m][i] * pull.force[i];
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

std::vector<double> TiesAndCarrier::motion(const Vector &u, double load) const {
  return solve_small(u, load).motion;
}
std::vector<double> TiesAndCarrier::tensions(const Vector &u, double load) const {
  std::vector<double> tensions;
  for (const TiePull &pull : solve_small(u, load).pull)
    tensions.push_back(pull.tension);
  return tensions;
}
std::vector<TiePull> TiesAndCarrier::pulls(const Vector &u, double load) const {
  return solve_small(u, load).pull;
}
Vec3 TiesAndCarrier::mean_motion(const Vector &u, const unsigned tie) const {
  Vec3 motion = {0, 0, 0};
  for (unsigned i = 0; i < 3; ++i) {
    const unsigned column = tie_columns_[tie].first + i;
    motion[i] = tie_[column] * u;
    if (at_fixed_[column].size() > 0)
      motion[i] += at_fixed_[column] * u;
  }
  return motion;
}
std::vector<Vec3> TiesAndCarrier::forces(const Vector &u, double load) const {
  const Small small = solve_small(u, load);
  std::vector<Vec3> forces;
  for (unsigned r = 0; r < small.pull.size(); ++r) {
    Vec3 force = {0, 0, 0};
    for (unsigned i = 0; i < tie_columns_[r].axes.size(); ++i)
      force = force - small.pull[r].force[i] * tie_columns_[r].axes[i];
    forces.push_back(force);
  }
  return forces;
}

// The low-rank part of the tangent at u: sum_r P_r K_r P_r^T of the ties, and -C G^-1 C^T with
// C = C_springs + sum_r P_r K_r A_r (A_r: the modes at the anchor along the tie's axes), both in the columns P_r and
// C_springs, which a displacement does not change.
void TiesAndCarrier::linearize(const Vector &u, double load) {
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
