// Geometric multigrid over a hierarchy of levels: one V-cycle as a preconditioner.
#include "solver/multigrid/preconditioner.hpp"
#include "solver/multigrid/direct_solver.hpp"
#include "solver/multigrid/node_blocks.hpp"
#include "solver/multigrid/place_transfer.hpp"
#include <algorithm>
#include <deal.II/lac/precondition.h>
#include <deal.II/multigrid/mg_transfer_global_coarsening.h>

namespace raybend {

using namespace dealii;

namespace {
/// An operator as the smoother sees it: in single precision.
struct RoughOperator : Subscriptor {
  using value_type = float;
  using size_type = types::global_dof_index;
  const SolidOperator *op = nullptr;
  void vmult(RoughVector &dst, const RoughVector &src) const { op->rough_vmult(dst, src); }
  void Tvmult(RoughVector &dst, const RoughVector &src) const { op->rough_vmult(dst, src); }
  size_type m() const { return op->m(); }
  float el(unsigned, unsigned) const { throw ExcNotImplemented(); }
};
using Smoother = PreconditionChebyshev<RoughOperator, RoughVector, NodeBlocks>;
} // namespace

struct Preconditioner::Parts {
  SolidOperator &op;
  std::shared_ptr<Preconditioner> below;
  std::unique_ptr<DirectSolver> direct; // on the coarsest level, which has nothing of what follows

  RoughOperator rough;
  MGTwoLevelTransfer<3, Vector> embedding; // of the level below; for values at nodes both levels have
  PlaceTransfer from_below;
  std::shared_ptr<NodeBlocks> blocks;
  unsigned shape = 0; // number of the shape that `from_below` and `blocks` know
  Smoother smoother;
  double largest = 0; // eigenvalue that the smoother has to do with, as last estimated; 0: none yet
  mutable Vector left, below_left, below_correction;
  mutable RoughVector rough_left, rough_correction;

  Parts(SolidOperator &o, std::shared_ptr<Preconditioner> b) : op(o), below(std::move(b)) {}

  // After a change of shape: what hangs on it alone.
  void take_shape() {
    if (blocks && shape == op.shape_number())
      return;
    from_below.reinit(op, below->parts_->op.level());
    blocks = std::make_shared<NodeBlocks>();
    blocks->reinit(op);
    shape = op.shape_number();
    largest = 0;
  }
  // x += S b, S the smoother's polynomial.
  void smooth(Vector &x, const Vector &b) const {
    for (unsigned i = 0; i < b.locally_owned_size(); ++i)
      rough_left.local_element(i) = b.local_element(i);
    smoother.vmult(rough_correction, rough_left);
    for (unsigned i = 0; i < b.locally_owned_size(); ++i)
      x.local_element(i) += rough_correction.local_element(i);
  }
  // left = b - A x
  void find_left(const Vector &x, const Vector &b) const {
    op.rough_vmult(left, x);
    for (unsigned i = 0; i < b.locally_owned_size(); ++i)
      left.local_element(i) = b.local_element(i) - left.local_element(i);
  }
};

Preconditioner::Preconditioner(SolidOperator &op, std::shared_ptr<Preconditioner> below)
    : parts_(std::make_unique<Parts>(op, std::move(below))) {
  Parts &p = *parts_;
  if (!p.below) {
    p.direct = std::make_unique<DirectSolver>();
    return;
  }
  const SolidOperator &lower = p.below->parts_->op;
  p.rough.op = &op;
  op.initialize_dof_vector(p.left);
  for (Vector *v : {&p.below_left, &p.below_correction})
    lower.initialize_dof_vector(*v);
  for (RoughVector *v : {&p.rough_left, &p.rough_correction})
    op.level().initialize(*v);
  p.embedding.reinit_geometric_transfer(op.level().dofs, lower.level().dofs, op.level().constraints,
                                        lower.level().constraints);
}

Preconditioner::~Preconditioner() = default;

bool Preconditioner::direct() const {
  return !parts_->below;
}

void Preconditioner::update(const Vector &u, double load, bool factorize, bool plain) {
  Vector active, all;
  if (direct()) {
    if (factorize || !parts_->direct->ready())
      parts_->direct->factorize(parts_->op, plain);
    return;
  }
  parts_->op.faces().activity(active, all);
  carry_down(u, load, active, all, factorize);
}

// Down the hierarchy: displacement by injection, contact activity by the transpose of the embedding. True if
// the coarsest level was factorized.
bool Preconditioner::carry_down(const Vector &u, double load, const Vector &active, const Vector &all,
                                bool factorize) {
  Parts &p = *parts_;
  if (direct()) {
    const bool fresh = factorize || !p.direct->ready();
    if (fresh)
      p.direct->factorize(p.op, false);
    return fresh;
  }
  SolidOperator &lower = p.below->parts_->op;
  Vector lower_u, lower_active, lower_all;
  for (Vector *v : {&lower_u, &lower_active, &lower_all})
    lower.initialize_dof_vector(*v);
  p.embedding.interpolate(lower_u, u);
  p.embedding.restrict_and_add(lower_active, active);
  p.embedding.restrict_and_add(lower_all, all);
  lower.linearize(lower_u, load, true);
  lower.set_active(lower_active, lower_all);
  const bool fresh = p.below->carry_down(lower_u, load, lower_active, lower_all, factorize);

  p.take_shape();
  p.blocks->update(p.op);
  Smoother::AdditionalData data;
  data.degree = 8;
  data.smoothing_range = 50;
  data.preconditioner = p.blocks;
  // The blocks follow the matrix, so that its largest eigenvalue against them hardly moves (6.3 to 7.0 in a
  // whole comparison): it is estimated again where the coarsest level is factorized again, too.
  const bool estimate = fresh || p.largest == 0;
  data.eig_cg_n_iterations = estimate ? 12 : 0;
  data.max_eigenvalue = p.largest;
  p.smoother.initialize(p.rough, data);
  if (estimate)
    p.largest = p.smoother.estimate_eigenvalues(p.rough_left).max_eigenvalue_estimate;
  return fresh;
}

// x = one V-cycle for A x = b, from x = 0:  smooth, correct from below, smooth.
void Preconditioner::vmult(Vector &x, const Vector &b) const {
  const Parts &p = *parts_;
  if (!p.below) {
    p.direct->vmult(x, b);
    return;
  }
  x = 0;
  p.smooth(x, b);
  p.find_left(x, b);
  p.below_left = 0;
  p.from_below.restrict_and_add(p.below_left, p.left);
  p.below->parts_->op.level().constraints.set_zero(p.below_left);
  p.below->vmult(p.below_correction, p.below_left);
  p.from_below.prolongate_and_add(x, p.below_correction);
  p.op.level().constraints.set_zero(x);
  p.find_left(x, b);
  p.smooth(x, p.left);
}

void Preconditioner::prolongate(Vector &dst, const Vector &src) {
  parts_->take_shape();
  dst = 0;
  parts_->from_below.prolongate_and_add(dst, src);
}

} // namespace raybend
