#include "solver/multigrid/preconditioner.hpp"
#include <algorithm>
#include <array>
#include <deal.II/lac/diagonal_matrix.h>
#include <deal.II/lac/precondition.h>
#include <deal.II/multigrid/mg_transfer_global_coarsening.h>

namespace raybend {

using namespace dealii;

namespace {
/// An operator as the smoother sees it: products in single precision.
struct RoughOperator : Subscriptor {
  using value_type = double;
  using size_type = types::global_dof_index;
  const SolidOperator *op = nullptr;
  void vmult(Vector &dst, const Vector &src) const { op->rough_vmult(dst, src); }
  void Tvmult(Vector &dst, const Vector &src) const { op->rough_vmult(dst, src); }
  size_type m() const { return op->m(); }
  double el(unsigned, unsigned) const { throw ExcNotImplemented(); }
};
using Smoother = PreconditionChebyshev<RoughOperator, Vector, DiagonalMatrix<Vector>>;

// How flat the flattest cell of a plate-stiff material (shear modulus over 1 GPa) is: middle extent by
// smallest. Cells of a thin plate are ten times as wide as thick; bones' are flat only at the bases.
double flatness(const SolidOperator &op) {
  const Level &level = op.level();
  double most = 1;
  for (unsigned c = 0; c < level.matrix_free.n_cell_batches(); ++c) {
    if (op.problem().materials[op.material_index(c, SolidOperator::n_q / 2)]->initial_shear() < 1000)
      continue;
    const DoFHandler<3>::active_cell_iterator cell = level.matrix_free.get_cell_iterator(c, 0);
    Tensor<1, 3> along[3];
    for (unsigned axis = 0; axis < 3; ++axis)
      for (unsigned v = 0; v < 8; ++v)
        for (unsigned i = 0; i < 3; ++i)
          along[axis][i] += ((v >> axis) & 1u ? 0.25 : -0.25) * level.position[cell->vertex_dof_index(v, i)];
    std::array<double, 3> extent = {along[0].norm(), along[1].norm(), along[2].norm()};
    std::sort(extent.begin(), extent.end());
    most = std::max(most, extent[1] / extent[0]);
  }
  return Utilities::MPI::max(most, level.comm);
}
} // namespace

struct Preconditioner::Parts {
  struct Stage {
    SolidOperator *op = nullptr;
    RoughOperator rough;
    MGTwoLevelTransfer<3, Vector> from_below; // unused on the coarsest level
    Smoother smoother;
    mutable Vector defect, correction, scratch;
  };
  std::vector<std::unique_ptr<Stage>> stages;
  DirectSolver direct;

  // x = one V-cycle for A_l x = b, from x = 0:  smooth, correct from below, smooth.
  void cycle(unsigned l, Vector &x, const Vector &b) const {
    const Stage &stage = *stages[l];
    if (l == 0) {
      direct.vmult(x, b);
      return;
    }
    const Stage &below = *stages[l - 1];
    stage.smoother.vmult(x, b);
    stage.op->rough_vmult(stage.scratch, x);
    stage.scratch.sadd(-1.0, 1.0, b);
    below.defect = 0;
    stage.from_below.restrict_and_add(below.defect, stage.scratch);
    below.op->level().constraints.set_zero(below.defect);
    cycle(l - 1, below.correction, below.defect);
    stage.from_below.prolongate_and_add(x, below.correction);
    stage.op->level().constraints.set_zero(x);
    stage.smoother.step(x, b);
  }
};

Preconditioner::Preconditioner(std::vector<SolidOperator *> operators) : parts_(std::make_unique<Parts>()) {
  for (unsigned l = 0; l < operators.size(); ++l) {
    parts_->stages.push_back(std::make_unique<Parts::Stage>());
    Parts::Stage &stage = *parts_->stages.back();
    stage.op = operators[l];
    stage.rough.op = operators[l];
    for (Vector *v : {&stage.defect, &stage.correction, &stage.scratch})
      stage.op->initialize_dof_vector(*v);
    if (l > 0)
      stage.from_below.reinit_geometric_transfer(operators[l]->level().dofs, operators[l - 1]->level().dofs,
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
    const auto &transfer = parts_->stages[l]->from_below;
    transfer.interpolate(coarse_u, fine_u);
    transfer.restrict_and_add(coarse_active, active);
    transfer.restrict_and_add(coarse_all, all);
    lower.linearize(coarse_u, load, true);
    lower.set_active(coarse_active, coarse_all);
    fine_u.swap(coarse_u);
    active.swap(coarse_active);
    all.swap(coarse_all);
  }
  if (factorize)
    parts_->direct.factorize(*parts_->stages[0]->op);
  for (unsigned l = 1; l <= finest; ++l) {
    Parts::Stage &stage = *parts_->stages[l];
    // In flat stiff cells the spectrum of what the level below cannot see widens with the flatness squared.
    const double flat = std::clamp(flatness(*stage.op) / 5, 1.0, 3.0);
    Smoother::AdditionalData data;
    data.degree = static_cast<unsigned>(8 * flat);
    data.smoothing_range = 80 * flat * flat;
    data.eig_cg_n_iterations = 12;
    data.preconditioner = std::make_shared<DiagonalMatrix<Vector>>();
    Vector &diagonal = data.preconditioner->get_vector();
    stage.op->compute_diagonal(diagonal);
    for (unsigned i = 0; i < diagonal.locally_owned_size(); ++i)
      diagonal.local_element(i) = 1.0 / diagonal.local_element(i);
    stage.smoother.initialize(stage.rough, data);
  }
}

void Preconditioner::vmult(Vector &dst, const Vector &src) const {
  parts_->cycle(parts_->stages.size() - 1, dst, src);
}

void Preconditioner::prolongate(Vector &dst, const Vector &src) const {
  dst = 0;
  parts_->stages.back()->from_below.prolongate_and_add(dst, src);
}

} // namespace raybend
