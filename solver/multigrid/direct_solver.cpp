// Sparse direct solution on the coarsest level, the same on every rank, with the low-rank part by Woodbury's formula.
#include "solver/multigrid/direct_solver.hpp"
#include <cholmod.h>
#include <new>
#include <omp.h>
#include <stdexcept>

namespace raybend {

using namespace dealii;

struct DirectSolver::Factor {
  cholmod_common common;
  cholmod_factor *factor = nullptr;
  unsigned analysed = 0; ///< pattern of the matrix

  Factor() {
    // CHOLMOD asks for four threads whatever the machine has; ranks keep the cores busy, and its many short
    // parallel loops cost 15 % of a whole comparison.
    omp_set_max_active_levels(0);
    cholmod_start(&common);
    common.supernodal = CHOLMOD_SUPERNODAL;
    common.print = 0;
    common.nmethods = 1; // nested dissection: on the forefoot 2.2e9 operations, minimum degree 3.5e9
    common.method[0].ordering = CHOLMOD_NESDIS;
    common.postorder = true;
  }
  ~Factor() {
    cholmod_free_factor(&factor, &common);
    cholmod_finish(&common);
  }

  /// False if the matrix is not positive definite. Throws std::bad_alloc, or std::runtime_error for what
  /// CHOLMOD reports otherwise.
  bool factorize(LowerTriangle &matrix) {
    cholmod_sparse a{};
    a.nrow = a.ncol = matrix.size();
    a.nzmax = matrix.row.size();
    a.p = matrix.start.data();
    a.i = matrix.row.data();
    a.x = matrix.value.data();
    a.stype = -1; // the lower triangle
    a.itype = CHOLMOD_INT;
    a.xtype = CHOLMOD_REAL;
    a.dtype = CHOLMOD_DOUBLE;
    a.sorted = a.packed = true;
    if (analysed != matrix.pattern) {
      cholmod_free_factor(&factor, &common);
      factor = cholmod_analyze(&a, &common);
      check(factor != nullptr);
      analysed = matrix.pattern;
    }
    check(cholmod_factorize(&a, factor, &common));
    return common.status == CHOLMOD_OK;
  }

  void check(bool done) const {
    if (common.status == CHOLMOD_OUT_OF_MEMORY)
      throw std::bad_alloc();
    if (!done || common.status < CHOLMOD_OK)
      throw std::runtime_error("CHOLMOD failed with status " + std::to_string(common.status));
  }

  /// x, `columns` vectors of n entries one after the other, becomes the solution.
  void solve(double *x, std::size_t n, std::size_t columns) {
    cholmod_dense b;
    b.nrow = b.d = n;
    b.ncol = columns;
    b.nzmax = n * columns;
    b.x = x;
    b.z = nullptr;
    b.xtype = CHOLMOD_REAL;
    b.dtype = CHOLMOD_DOUBLE;
    cholmod_dense *y = cholmod_solve(CHOLMOD_A, factor, &b, &common);
    check(y != nullptr);
    std::copy_n(static_cast<double *>(y->x), n * columns, x);
    cholmod_free_dense(&y, &common);
  }
};

DirectSolver::DirectSolver() : factor_(std::make_unique<Factor>()) {}
DirectSolver::~DirectSolver() = default;

void DirectSolver::gather(const Vector &src, dealii::Vector<double> &full) const {
  full.reinit(src.size());
  const auto first = src.get_partitioner()->local_range().first;
  for (unsigned i = 0; i < src.locally_owned_size(); ++i)
    full[first + i] = src.local_element(i);
  Utilities::MPI::sum(ArrayView<const double>(full.begin(), full.size()), src.get_mpi_communicator(),
                      ArrayView<double>(full.begin(), full.size()));
}

void DirectSolver::factorize(const SolidOperator &op, bool plain) {
  bool done = false;
  for (const double bound : {-1.0, 0.5, 0.0}) { // of each material's shear modulus; -1: none
    if (bound < 0 && !plain)
      continue;
    op.assemble(matrix_, bound);
    if ((done = factor_->factorize(matrix_)))
      break;
  }
  // At bound 0 nothing negative is left of invariant laws; tissue that is pressed or pulled by tens of its shear moduli
  // needs that. What may still be missing is a hold, for a step, of what has lost contact, or a start that is far from
  // balance, as a shell of 100 GPa that begins in the shape of the foam solved before it: a shift keeps the factor usable for
  // preconditioning, at worst as its diagonal is. A body that nothing holds stays singular without mixed cells.
  for (double shift = 1e-3; !done && op.bulk().has_mixed_cells() && shift < 1e4; shift *= 10) {
    for (unsigned i = 0; i < matrix_.size(); ++i) {
      double &diagonal = matrix_.value[matrix_.start[i]];
      diagonal = (1 + shift) * std::abs(diagonal);
    }
    done = factor_->factorize(matrix_);
  }
  if (!done)
    throw std::runtime_error(
        "the coarsest level's matrix is not positive definite: part of the body is held by nothing");

  const LowRank &low_rank = op.low_rank();
  const unsigned n = low_rank.columns.size();
  columns_.assign(n, {});
  if (n == 0)
    return;
  const unsigned size = matrix_.size();
  LAPACKFullMatrix<double> solved(size, n); // K^-1 U; one sweep through the factor for all columns
  for (unsigned i = 0; i < n; ++i) {
    gather(*low_rank.columns[i], full_);
    std::copy_n(full_.begin(), size, &solved(0, i));
    for (unsigned k = 0; k < size; ++k)
      if (full_[k] != 0)
        columns_[i].push_back({k, full_[k]});
  }
  factor_->solve(&solved(0, 0), size, n);
  FullMatrix<double> w(n, n), sum(n, n), small(n, n);
  for (unsigned i = 0; i < n; ++i)
    for (unsigned j = 0; j < n; ++j)
      for (const Entry &entry : columns_[i])
        w(i, j) += entry.value * solved(entry.unknown, j);
  low_rank.m.mmult(sum, w);
  for (unsigned i = 0; i < n; ++i)
    sum(i, i) += 1;
  sum.gauss_jordan();
  sum.mmult(small, low_rank.m);
  LAPACKFullMatrix<double> factor(n, n);
  factor = small;
  correction_.reinit(size, n);
  solved.mmult(correction_, factor);
}

void DirectSolver::vmult(Vector &dst, const Vector &src) const {
  gather(src, full_);
  factor_->solve(full_.begin(), full_.size(), 1);
  if (!columns_.empty()) {
    dealii::Vector<double> y(columns_.size()), across(full_.size());
    for (unsigned i = 0; i < columns_.size(); ++i)
      for (const Entry &entry : columns_[i])
        y[i] += entry.value * full_[entry.unknown];
    correction_.vmult(across, y);
    full_ -= across;
  }
  const auto first = dst.get_partitioner()->local_range().first;
  for (unsigned i = 0; i < dst.locally_owned_size(); ++i)
    dst.local_element(i) = full_[first + i];
}

} // namespace raybend
