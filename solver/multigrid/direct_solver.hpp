// Sparse direct solution on the coarsest level, the same on every rank, with the low-rank part by Woodbury's
// formula.
#pragma once
#include "solver/operator/solid_operator.hpp"

namespace raybend {

/// Solves (K + U M U^T) x = b with K the assembled sparse part of an operator, by CHOLMOD's supernodal
/// Cholesky factorization with nested dissection (measured on the forefoot's coarsest level, 15,939 unknowns:
/// four times faster to factor and six times faster to solve than UMFPACK). Every rank holds the factor, so
/// only vectors travel.
///   (K + U M U^T)^-1 = K^-1 - K^-1 U (M^-1 + U^T K^-1 U)^-1 U^T K^-1
class DirectSolver {
public:
  DirectSolver();
  ~DirectSolver();

  /// Factorizes op's current linearization; compressive stress in its geometric part is bounded until the
  /// matrix is positive. Throws std::runtime_error if it cannot be factorized (a body that nothing holds).
  void factorize(const SolidOperator &op);
  bool ready() const { return matrix_.size() > 0; } ///< there is a factor
  void vmult(Vector &dst, const Vector &src) const;

private:
  void gather(const Vector &src, dealii::Vector<double> &full) const;

  LowerTriangle matrix_;
  struct Factor;
  std::unique_ptr<Factor> factor_;
  std::vector<dealii::Vector<double>> columns_, solved_;
  dealii::FullMatrix<double> small_; ///< (M^-1 + U^T K^-1 U)^-1
  mutable dealii::Vector<double> full_;
};

} // namespace raybend
