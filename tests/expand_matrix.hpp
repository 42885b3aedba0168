// A symmetric matrix as deal.II stores it, both triangles.
#pragma once
#include "solver/kernel/lower_triangle.hpp"
#include <deal.II/lac/dynamic_sparsity_pattern.h>
#include <deal.II/lac/sparse_matrix.h>

namespace raybend {

inline void expand(const LowerTriangle &from, dealii::SparsityPattern &pattern,
                   dealii::SparseMatrix<double> &matrix) {
  dealii::DynamicSparsityPattern dynamic(from.size());
  from.visit([&](unsigned row, unsigned column, double) {
    dynamic.add(row, column);
    dynamic.add(column, row);
  });
  pattern.copy_from(dynamic);
  matrix.reinit(pattern);
  from.visit([&](unsigned row, unsigned column, double value) {
    matrix.set(row, column, value);
    matrix.set(column, row, value);
  });
}

} // namespace raybend
