// Newton's method with energy line search, conjugate gradients and multigrid.
#pragma once
#include "solver/multigrid/preconditioner.hpp"
#include <functional>
#include <string>

namespace raybend {

struct NewtonControl {
  double tolerance = 1e-8; ///< on |residual|_2, relative to `force_scale`
  double force_scale = 1;  ///< N
  double forcing = 1e-2;   ///< reduction asked of CG in a step
  unsigned max_steps = 40;
  unsigned more_steps = 0; ///< beyond max_steps while the residual is below 1e-2 of the scale
  unsigned max_cg = 400;
  unsigned max_descent = 1000; ///< iterations of descend() after which it is not begun again (assumed)
  bool keep_factor = false; ///< the first step tries the coarsest level's factor that the preconditioner has
  unsigned bounded_steps =
      0; ///< so many that meet negative curvature are sought again with the bounded tangent
};

struct NewtonReport {
  bool converged = false;
  unsigned steps = 0, cg_iterations = 0, most_cg = 0;
  unsigned descent_iterations = 0; ///< of descend()
  double residual = 0;             ///< N, last
  std::string reason;              ///< why not converged
};

/// Called after each step with (step, residual relative to the tolerance's scale, CG iterations).
using NewtonProgress = std::function<void(unsigned, double, unsigned)>;

/// Improves u until dPi/du = 0 at load factor `load`. Prescribed entries of u must be set by the caller.
///
/// Each step: linearize; CG on A du = -r, preconditioned by one V-cycle, stopped at the forcing reduction and
/// cut off where it meets negative curvature, or (the first `bounded_steps` of them) begun again with SolidOperator::bound_tangent; then
/// the first t in 1, 1/2, 1/4 ... with every material point admissible and Pi(u + t du) <= Pi(u) + 1e-4 t r.du
/// (Armijo), or, where the gain drowns in rounding error, with an energy no higher than that error and a slope
/// |r.du| at most 0.8 times the first. On the coarsest level a step cut off at negative curvature goes on with
/// descend() and the factor that it has: where the shape has to change much, many cheap iterations get further than
/// few dear steps that each end at the next bend.
NewtonReport newton(SolidOperator &op, Preconditioner &preconditioner, Vector &u, double load,
                    const NewtonControl &control, const NewtonProgress &progress = {});

/// How conjugate gradients ended. `curvature`: at a direction of negative curvature; `preconditioner`: at a
/// negative preconditioned product; x is then the best so far, or the preconditioned b if there is none.
enum class CgEnd { reached, limit, curvature, preconditioner };

/// Solves A x = b to |b - A x| <= reduction |b|, from x = 0 or, if `go_on`, from the x given. `iterations`
/// counts.
CgEnd conjugate_gradients(const SolidOperator &op, const Preconditioner &preconditioner, Vector &x,
                          const Vector &b, double reduction, unsigned max_iterations, unsigned &iterations,
                          bool go_on = false);

} // namespace raybend
