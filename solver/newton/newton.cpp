// Newton's method with energy line search, conjugate gradients and multigrid.
#include "solver/newton/newton.hpp"
#include "solver/newton/descend.hpp"
#include <cmath>

namespace raybend {

CgEnd conjugate_gradients(const SolidOperator &op, const Preconditioner &preconditioner, Vector &x,
                          const Vector &b, double reduction, unsigned max_iterations, unsigned &iterations,
                          bool go_on) {
  constexpr double rounded = 1e-5; // of b: a residual below which rounding may spoil the preconditioner
  Vector r(b), z(b), p(b), q(b), diagonal;
  const double goal = reduction * b.l2_norm();
  if (goal == 0 && !go_on) { // no load
    x = 0;
    iterations = 0;
    return CgEnd::reached;
  }
  if (go_on) {
    op.vmult(q, x);
    r -= q;
  } else {
    x = 0;
  }
  preconditioner.vmult(z, r);
  p = z;
  double rz = r * z;
  for (iterations = 1; iterations <= max_iterations; ++iterations) {
    op.vmult(q, p);
    const double curvature = p * q;
    if (curvature <= 0 || rz <= 0) {
      if (iterations == 1 && !go_on)
        x = z;
      return rz <= 0 ? CgEnd::preconditioner : CgEnd::curvature;
    }
    const double alpha = rz / curvature;
    x.add(alpha, p);
    r.add(-alpha, q);
    if (r.l2_norm() <= goal)
      return CgEnd::reached;
    preconditioner.vmult(z, r);
    double next = r * z;
    if (next <= 0 && r.l2_norm() <= rounded * b.l2_norm()) {
      // Rounding in the preconditioner (a beam that ties hold hangs on weak springs in its factor), which a rough rest
      // of the residual shows: a step by the diagonal, and begun again from there.
      if (diagonal.size() == 0)
        op.compute_diagonal(diagonal);
      for (unsigned i = 0; i < r.locally_owned_size(); ++i)
        z.local_element(i) = r.local_element(i) / diagonal.local_element(i);
      next = r * z;
      p = 0;
    }
    p.sadd(next / rz, 1.0, z);
    rz = next;
  }
  iterations = max_iterations;
  return CgEnd::limit;
}

NewtonReport newton(SolidOperator &op, Preconditioner &preconditioner, Vector &u, double load,
                    const NewtonControl &control, const NewtonProgress &progress) {
  NewtonReport report;
  Vector residual, step, trial, minus;
  for (Vector *v : {&residual, &step, &trial, &minus})
    op.initialize_dof_vector(*v);
  SolidOperator::Evaluation here = op.evaluate(u, load, &residual);
  if (!here.admissible) {
    report.reason = "the starting shape is turned inside out somewhere";
    return report;
  }
  double norm = residual.l2_norm();
  unsigned bounded = 0;                  // steps sought again with the bounded tangent
  bool factorize = !control.keep_factor; // the coarsest level again in this step
  bool plain = false;                    // the last step's tangent was positive as far as CG saw it
  const unsigned more = preconditioner.direct() ? 18 : 12; // CG iterations that a fresh factor is worth
  double fresh_rate = 0; // CG iterations per e-fold of the residual with a fresh factor
  constexpr double near = 1e-2,
                   downhill = 3e-3; // of the force: a residual that may go on; where descend() stops
  constexpr double hardly = 0.5;    // a residual that falls by no more: the tangent has changed much
  const auto may_go_on = [&] {
    return report.steps < control.max_steps ||
           (report.steps < control.max_steps + control.more_steps && norm <= near * control.force_scale);
  };
  for (report.steps = 0; may_go_on(); ++report.steps) {
    report.residual = norm;
    if (norm <= control.tolerance * control.force_scale) {
      report.converged = true;
      return report;
    }
    op.linearize(u, load, false);
    preconditioner.update(u, load, factorize, plain);
    minus = residual;
    minus *= -1;
    unsigned iterations = 0;
    // Not beyond the goal itself.
    const double reduction =
        std::min(std::max(control.forcing, 0.3 * control.tolerance * control.force_scale / norm), 0.5);
    const double folds = -std::log(reduction);
    CgEnd end = CgEnd::limit;
    const auto solve = [&](unsigned most, bool go_on) {
      end = conjugate_gradients(op, preconditioner, step, minus, reduction, most, iterations, go_on);
      report.cg_iterations += iterations;
    };
    bool started = false;
    unsigned before_fresh = 0;
    if (!factorize) {
      solve(static_cast<unsigned>(1.5 * fresh_rate * folds) + more, false);
      if (end == CgEnd::limit || end == CgEnd::preconditioner) { // the old factor does not do
        preconditioner.update(u, load, true, plain);
        factorize = true;
        started = end == CgEnd::limit;
        before_fresh = iterations;
      }
    }
    if (factorize) {
      solve(control.max_cg, started);
      if (end == CgEnd::reached && !started)
        fresh_rate = iterations / folds;
      iterations += started ? before_fresh : 0;
    }
    if (bounded < control.bounded_steps && (end == CgEnd::curvature || end == CgEnd::preconditioner)) {
      ++bounded;
      op.bound_tangent();
      preconditioner.update(u, load, true);
      solve(control.max_cg, false);
      end = CgEnd::curvature; // what comes next is the plain tangent, with a factor of its own
    }
    plain = end == CgEnd::reached;
    factorize = end != CgEnd::reached || started || iterations > fresh_rate * folds + more;
    report.most_cg = std::max(report.most_cg, iterations);
    const double slope = residual * step;
    double t = 1;
    bool accepted = false, defined = false; // defined: some trial had an energy
    for (unsigned halving = 0; halving < 30 && slope < 0; ++halving, t *= 0.5) {
      trial = u;
      trial.add(t, step);
      const SolidOperator::Evaluation there = op.evaluate(trial, load, &minus);
      if (!there.admissible)
        continue;
      defined = true;
      // Where the gain drowns in rounding error, a flatter slope along the step tells instead of the energy.
      const bool lower = there.energy <= here.energy + 1e-4 * t * slope;
      const bool flatter = there.energy <= here.energy + here.noise + 1e-12 * std::abs(here.energy) &&
                           std::abs(minus * step) <= 0.8 * std::abs(slope);
      if (lower || flatter) {
        u = trial;
        residual = minus;
        here = there;
        accepted = true;
        break;
      }
    }
    if (accepted && end == CgEnd::curvature && preconditioner.direct() &&
        report.descent_iterations < control.max_descent)
      report.descent_iterations +=
          descend(op, preconditioner, u, residual, here, load, downhill * control.force_scale);
    if (preconditioner.direct() && residual.l2_norm() > hardly * norm)
      factorize = true; // the old factor would only be tried in vain
    norm = residual.l2_norm();
    if (progress)
      progress(report.steps + 1, norm / control.force_scale, iterations);
    if (!accepted) {
      if (slope >= 0)
        report.reason = "Newton's direction does not descend";
      else if (!defined)
        report.reason = "every step turns a cell inside out or presses a foam below its solid volume";
      else
        report.reason = "no step along Newton's direction lowers the energy";
      report.residual = norm;
      return report;
    }
  }
  report.residual = norm;
  report.converged = norm <= control.tolerance * control.force_scale;
  if (!report.converged)
    report.reason = "no convergence in " + std::to_string(report.steps) + " Newton steps";
  return report;
}

} // namespace raybend
