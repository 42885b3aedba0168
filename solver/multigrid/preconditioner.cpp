#include "solver/multigrid/preconditioner.hpp"
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
  struct Stage {
    SolidOperator *op = nullptr;
    RoughOperator rough;
    MGTwoLevelTransfer<3, Vector> embedding; // of the level below; for values at nodes both levels have
    PlaceTransfer from_below;
    std::shared_ptr<NodeBlocks> blocks;
    unsigned shape = 0; // number of the shape that `from_below` and `blocks` know
    Smoother smoother;
    double largest = 0; // eigenvalue that the smoother has to do with, as last estimated; 0: none yet
    mutable Vector defect, correction, scratch;
    mutable RoughVector rough_defect, rough_correction;

    // x += S b, S the smoother's polynomial.
    void smooth(Vector &x, const Vector &b) const {
      for (unsigned i = 0; i < b.locally_owned_size(); ++i)
        rough_defect.local_element(i) = b.local_element(i);
      smoother.vmult(rough_correction, rough_defect);
      for (unsigned i = 0; i < b.locally_owned_size(); ++i)
        x.local_element(i) += rough_correction.local_element(i);
    }
    // scratch = b - A x
    void residual(const Vector &x, const Vector &b) const {
      op->rough_vmult(scratch, x);
      scratch.sadd(-1.0, 1.0, b);
    }
  };
  std::vector<std::unique_ptr<Stage>> stages;
  std::shared_ptr<DirectSolver> direct;

  // After a change of shape: what hangs on it alone.
  void take_shape(unsigned l) {
    Stage &stage = *stages[l];
    if (stage.blocks && stage.shape == stage.op->shape_number())
      return;
    stage.from_below.reinit(*stage.op, stages[l - 1]->op->level());
    stage.blocks = std::make_shared<NodeBlocks>();
    stage.blocks->reinit(*stage.op);
    stage.shape = stage.op->shape_number();
    stage.largest = 0;
  }

  // x = one V-cycle for A_l x = b, from x = 0:  smooth, correct from below, smooth.
  void cycle(unsigned l, Vector &x, const Vector &b) const {
    const Stage &stage = *stages[l];
    if (l == 0) {
      direct->vmult(x, b);
      return;
    }
    const Stage &below = *stages[l - 1];
    x = 0;
    stage.smooth(x, b);
    stage.residual(x, b);
    below.defect = 0;
    stage.from_below.restrict_and_add(below.defect, stage.scratch);
    below.op->level().constraints.set_zero(below.defect);
    cycle(l - 1, below.correction, below.defect);
    stage.from_below.prolongate_and_add(x, below.correction);
    stage.op->level().constraints.set_zero(x);
    stage.residual(x, b);
    stage.smooth(x, stage.scratch);
  }
};

Preconditioner::Preconditioner(std::vector<SolidOperator *> operators, std::shared_ptr<DirectSolver> direct)
    : parts_(std::make_unique<Parts>()) {
  parts_->direct = direct ? direct : std::make_shared<DirectSolver>();
  for (unsigned l = 0; l < operators.size(); ++l) {
    parts_->stages.push_back(std::make_unique<Parts::Stage>());
    Parts::Stage &stage = *parts_->stages.back();
    stage.op = operators[l];
    stage.rough.op = operators[l];
    for (Vector *v : {&stage.defect, &stage.correction, &stage.scratch})
      stage.op->initialize_dof_vector(*v);
    for (RoughVector *v : {&stage.rough_defect, &stage.rough_correction})
      stage.op->level().initialize(*v);
    if (l > 0)
      stage.embedding.reinit_geometric_transfer(operators[l]->level().dofs, operators[l - 1]->level().dofs,
                                                operators[l]->level().constraints,
                                                operators[l - 1]->level().constraints);
  }
}

Preconditioner::~Preconditioner() = default;

void Preconditioner::update(const Vector &u, double load, bool factorize) {
  const unsigned finest = parts_->stages.size() - 1;
  // Down the hierarchy: displacement by injection, contact activity by the transpose of the embedding.
  Vector fine_u(u), active, all;
  parts_->stages[finest]->op->activity(active, all);
  for (unsigned l = finest; l > 0; --l) {
    SolidOperator &lower = *parts_->stages[l - 1]->op;
    Vector coarse_u, coarse_active, coarse_all;
    for (Vector *v : {&coarse_u, &coarse_active, &coarse_all})
      lower.initialize_dof_vector(*v);
    const auto &transfer = parts_->stages[l]->embedding;
    transfer.interpolate(coarse_u, fine_u);
    transfer.restrict_and_add(coarse_active, active);
    transfer.restrict_and_add(coarse_all, all);
    lower.linearize(coarse_u, load, true);
    lower.set_active(coarse_active, coarse_all);
    fine_u.swap(coarse_u);
    active.swap(coarse_active);
    all.swap(coarse_all);
  }
  const bool fresh = factorize || !parts_->direct->ready();
  if (fresh)
    parts_->direct->factorize(*parts_->stages[0]->op);
  for (unsigned l = 1; l <= finest; ++l) {
    Parts::Stage &stage = *parts_->stages[l];
    parts_->take_shape(l);
    stage.blocks->update(*stage.op);
    Smoother::AdditionalData data;
    data.degree = 8;
    data.smoothing_range = 80;
    data.preconditioner = stage.blocks;
    // The blocks follow the matrix, so that its largest eigenvalue against them hardly moves (6.3 to 7.0 in a
    // whole comparison): it is estimated again where the coarsest level is factorized again, too.
    const bool estimate = fresh || stage.largest == 0;
    data.eig_cg_n_iterations = estimate ? 12 : 0;
    data.max_eigenvalue = stage.largest;
    stage.smoother.initialize(stage.rough, data);
    if (estimate)
      stage.largest = stage.smoother.estimate_eigenvalues(stage.rough_defect).max_eigenvalue_estimate;
  }
}

void Preconditioner::vmult(Vector &dst, const Vector &src) const {
  parts_->cycle(parts_->stages.size() - 1, dst, src);
}

void Preconditioner::prolongate(Vector &dst, const Vector &src) {
  parts_->take_shape(parts_->stages.size() - 1);
  dst = 0;
  parts_->stages.back()->from_below.prolongate_and_add(dst, src);
}

} // namespace raybend
