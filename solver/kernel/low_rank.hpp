// The low-rank part of the tangent: ties and the condensed carrier.
#pragma once
#include "solver/discretization/level.hpp"
#include <deal.II/lac/full_matrix.h>

namespace raybend {

/// U M U^T with a few distributed columns U and a small symmetric M.
struct LowRank {
  std::vector<const Vector *> columns;
  dealii::FullMatrix<double> m;

  /// Call once `columns` are complete: products then visit only the entries that are not zero (few: heads and
  /// bases).
  void finish();

  /// U^T x
  template <typename Values> dealii::Vector<double> project(const Values &x) const;

  /// dst += U c
  template <typename Values> void add(Values &dst, const dealii::Vector<double> &c) const;

  /// dst += U M U^T src
  template <typename Values> void vmult_add(Values &dst, const Values &src) const;

  /// diagonal += diag(U M U^T)
  void add_diagonal(Vector &diagonal) const;

private:
  struct Entry {
    unsigned column;
    double value;
  };
  struct Row {
    unsigned unknown; ///< local
    unsigned end;     ///< of its entries, which begin where the last row's end
  };
  std::vector<Row> rows_;
  std::vector<Entry> entries_;
};

} // namespace raybend
