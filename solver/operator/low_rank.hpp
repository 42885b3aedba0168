// The low-rank part of the tangent: ties and the condensed carrier.
#pragma once
#include "solver/discretization/level.hpp"
#include <deal.II/lac/full_matrix.h>

namespace raybend {

/// U M U^T with a few distributed columns U and a small symmetric M.
struct LowRank {
  std::vector<const Vector *> columns;
  dealii::FullMatrix<double> m;

  /// U^T x
  dealii::Vector<double> project(const Vector &x) const;

  /// dst += U M U^T src
  void vmult_add(Vector &dst, const Vector &src) const;

  /// diagonal += diag(U M U^T)
  void add_diagonal(Vector &diagonal) const;
};

} // namespace raybend
