// Geometric multigrid over a hierarchy of levels: one V-cycle as a preconditioner.
#pragma once
#include "solver/multigrid/direct_solver.hpp"
#include <functional>

namespace raybend {

/// One V-cycle: Chebyshev smoothing with the diagonal (degree 8, range 80: bone thirty
/// thousand times stiffer than tissue needs more than the usual 5 and 20: 62 CG iterations to 1e-6 instead of
/// 111, a fifth less time) on every level but the coarsest, which a direct solver takes. Levels are separate
/// meshes (global coarsening); transfer is the Q2 embedding.
class Preconditioner {
public:
  /// Operators from the coarsest (0) to the finest; they must outlive this object.
  explicit Preconditioner(std::vector<SolidOperator *> operators);
  ~Preconditioner();

  /// Carries the finest operator's linearization (made at u by the caller) down the hierarchy and prepares
  /// the cycle. `factorize` false keeps the coarsest level's factor of an earlier state, which costs half a
  /// second less and a few more iterations where the state has changed little.
  void update(const Vector &u, double load, bool factorize = true);

  void vmult(Vector &dst, const Vector &src) const;

  /// dst (on the finest level) = embedding of src (on the level below).
  void prolongate(Vector &dst, const Vector &src) const;

private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

} // namespace raybend
