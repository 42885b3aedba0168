// Sparse direct solution on the coarsest level, the same on every rank, with the low-rank part by Woodbury's
// formula.
#pragma once
#include "solver/operator/solid_operator.hpp"
#include <deal.II/lac/lapack_full_matrix.h>

namespace raybend {

/// Solves (K + U M U^T) x = b with K the assembled sparse part of an operator, by CHOLMOD's supernodal
/// Cholesky factorization with nested dissection (measured on the forefoot's coarsest level, 15,939 unknowns:
/// four times faster to factor and six times faster to solve than UMFPACK). Every rank holds the factor, so
/// only vectors travel.
///   (K + U M U^T)^-1 = K^-1 - C U^T K^-1 ,   C = K^-1 U (1 + M U^T K^-1 U)^-1 M        (M may be singular)
class DirectSolver {
public:
  DirectSolver();
  ~DirectSolver();

  /// Factorizes op's current linearization; compressive stress in its geometric part is bounded from the start
  /// or, if `plain`, where the matrix is not positive definite otherwise. Throws std::runtime_error if it cannot
  /// be factorized (a body that nothing holds).
  void factorize(const SolidOperator &op, bool plain);
  bool ready() const { return matrix_.size() > 0; } ///< there is a factor
  void vmult(Vector &dst, const Vector &src) const;

private:
  void gather(const Vector &src, dealii::Vector<double> &full) const;

  LowerTriangle matrix_;
  struct Factor;
  std::unique_ptr<Factor> factor_;
  struct Entry {
    unsigned unknown;
    double value;
  };
  std::vector<std::vector<Entry>> columns_;     ///< U where it is not zero: heads and bases
  dealii::LAPACKFullMatrix<double> correction_; ///< C
  mutable dealii::Vector<double> full_;
};

} // namespace raybend
