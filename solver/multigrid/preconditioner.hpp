// Geometric multigrid over a hierarchy of levels: one V-cycle as a preconditioner.
#pragma once
#include "solver/operator/solid_operator.hpp"
#include <memory>

namespace raybend {

/// One V-cycle: Chebyshev smoothing with the inverse of node blocks (node_blocks.hpp; degree 8, range 50:
/// bone thirty thousand times stiffer than tissue needs more than the usual 5 and 20; measured at standard
/// resolution, degree 4 to 10 otherwise take 4 to 34 % longer) on every level but the coarsest, which a
/// direct solver takes. Levels are separate meshes (global coarsening); transfer goes by place
/// (place_transfer.hpp).
class Preconditioner {
public:
  /// Of a level, over that of the level below; none below the coarsest. The operator must outlive this
  /// object. Levels that start one another share the preconditioners below them and so the coarsest level's
  /// last factor.
  explicit Preconditioner(SolidOperator &op, std::shared_ptr<Preconditioner> below = nullptr);
  ~Preconditioner();

  /// Carries this level's linearization (made at u by the caller) down the hierarchy and prepares
  /// the cycle. `factorize` false, where a factor exists, keeps the coarsest level's factor of an earlier
  /// state, which costs 0.2 s less and a few more iterations where the state has changed little. `plain`, on
  /// the coarsest level itself: the tangent as it is, where that is positive definite, is factorized.
  void update(const Vector &u, double load, bool factorize = true, bool plain = false);

  /// This is the coarsest level: `vmult` is a direct solve.
  bool direct() const;

  void vmult(Vector &dst, const Vector &src) const;

  /// dst (on this level) = src (on the level below) carried up by place.
  void prolongate(Vector &dst, const Vector &src);

private:
  bool carry_down(const Vector &u, double load, const Vector &active, const Vector &all, bool factorize);
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

} // namespace raybend
