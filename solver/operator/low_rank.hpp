// The low-rank part of the tangent: ties and the condensed carrier.
#pragma once
#include "solver/discretization/level.hpp"
#include <deal.II/lac/full_matrix.h>

namespace raybend {

/// U M U^T with a few distributed columns U and a small symmetric M.
struct LowRank {
  std::vector<const Vector *> columns;
  dealii::FullMatrix<double> m;

  /// Call once `columns` are complete: products then visit only the unknowns where a column is not zero (few:
  /// heads and bases).
  void finish();

  /// U^T x
  dealii::Vector<double> project(const Vector &x) const;

  /// dst += U M U^T src
  void vmult_add(Vector &dst, const Vector &src) const;

  /// diagonal += diag(U M U^T)
  void add_diagonal(Vector &diagonal) const;

private:
  std::vector<unsigned> rows_; ///< local unknowns where any column is not zero
  std::vector<double> values_; ///< [row][column]
};

} // namespace raybend
