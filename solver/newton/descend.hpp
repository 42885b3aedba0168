// Downhill where Newton's tangent is of no use: limited-memory BFGS with a factor at hand.
#pragma once
#include "solver/multigrid/preconditioner.hpp"

namespace raybend {

/// Lowers Pi from u by L-BFGS (Nocedal & Wright, Numerical Optimization, 2nd ed., algorithm 7.5, from memory; deal.II's
/// SolverBFGS) with `preconditioner`, which must be positive, as the first guess H0 of the inverse Hessian:
///   d = -H dPi/du,  t the first of 1, 0.4, 0.16 ... with every material point admissible and
///   Pi(u + t d) <= Pi(u) + 1e-4 t dPi/du.d,
/// until |dPi/du|_2 <= goal (N), the third step with t < 0.1 (the guess has aged), no t, or 50 iterations. An iteration
/// costs an evaluation and a product with the preconditioner, on the coarsest level a tenth of a Newton step.
/// u, `residual` (dPi/du, N) and `here` are those of the same state, before and after. Returns the iterations.
unsigned descend(const SolidOperator &op, const Preconditioner &preconditioner, Vector &u, Vector &residual,
                 SolidOperator::Evaluation &here, double load, double goal);

} // namespace raybend
