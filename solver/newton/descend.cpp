// Downhill where Newton's tangent is of no use: limited-memory BFGS with a factor at hand.
#include "solver/newton/descend.hpp"
#include <deal.II/optimization/solver_bfgs.h>

namespace raybend {

using namespace dealii;

namespace {

// Armijo's constant as in newton(); the others assumed, and tried on the warehouse case (30 iterations or a history of 8
// or 10: more Newton steps afterwards).
constexpr unsigned most_iterations = 50, most_tries = 10, most_short_steps = 2, history = 15;
constexpr double short_step = 0.1, shortening = 0.4, armijo = 1e-4;

/// Ends well wherever it ends: what is found is a start for Newton's method.
struct Until : SolverControl {
  double goal;
  unsigned short_steps = 0, iterations = 0;
  bool stuck = false;

  explicit Until(double g) : SolverControl(most_iterations, g, false, false), goal(g) {}
  State check(const unsigned step, const double norm) override {
    iterations = step;
    const bool enough = norm <= goal || stuck || short_steps > most_short_steps || step >= most_iterations;
    return enough ? success : iterate;
  }
};

} // namespace

unsigned descend(const SolidOperator &op, const Preconditioner &preconditioner, Vector &u, Vector &residual,
                 SolidOperator::Evaluation &here, double load, double goal) {
  Until until(goal);
  SolverBFGS<Vector> bfgs(until, SolverBFGS<Vector>::AdditionalData(history));
  Vector product, from;
  for (Vector *v : {&product, &from})
    op.initialize_dof_vector(*v);
  bfgs.connect_preconditioner_slot([&](Vector &g, const auto &, const auto &) {
    preconditioner.vmult(product, g);
    g.swap(product);
  });
  bfgs.connect_line_search_slot([&](double &energy, Vector &x, Vector &g, const Vector &d) {
    const double slope = g * d;
    from = x;
    double t = 1;
    for (unsigned tried = 0; tried < most_tries && slope < 0; ++tried, t *= shortening) {
      x = from;
      x.add(t, d);
      const SolidOperator::Evaluation there = op.evaluate(x, load, &g);
      if (!there.admissible || there.energy > here.energy + armijo * t * slope)
        continue;
      here = there;
      residual = g;
      energy = there.energy;
      until.short_steps += t < short_step;
      return t;
    }
    until.stuck = true;
    x = from;
    g = residual;
    return 0.0;
  });
  bfgs.solve(
      [&](const Vector &, Vector &g) { // asked at the start alone; then the line search tells
        g = residual;
        return here.energy;
      },
      u);
  return until.iterations;
}

} // namespace raybend
