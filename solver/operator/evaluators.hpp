// deal.II's evaluation of the displacement in cells and on faces, one at a time, and plain numbers from its wide ones.
#pragma once
#include "solver/discretization/level.hpp"
#include "solver/operator/small_tensors.hpp"
#include <deal.II/fe/fe_q.h>
#include <deal.II/matrix_free/fe_evaluation.h>

namespace raybend {

using CellEval = dealii::FEEvaluation<3, fe_degree, n_points_1d, 3, double>;
using FaceEval = dealii::FEFaceEvaluation<3, fe_degree, n_points_1d, 3, double>;

constexpr unsigned n_q = n_points_1d * n_points_1d * n_points_1d; ///< Gauss points of a cell

static_assert(
    dealii::VectorizedArray<double>::size() == 1,
    "written for the packaged deal.II, whose cell batches hold one cell; wider batches need lane loops");

inline Tensor2 plain(const dealii::Tensor<2, 3, dealii::VectorizedArray<double>> &a) {
  Tensor2 b;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j)
      b[i][j] = a[i][j][0];
  return b;
}
inline dealii::Tensor<1, 3> plain(const dealii::Tensor<1, 3, dealii::VectorizedArray<double>> &a) {
  return dealii::Tensor<1, 3>({a[0][0], a[1][0], a[2][0]});
}

template <typename T>
dealii::Tensor<2, 3, dealii::VectorizedArray<double>> wide(const dealii::Tensor<2, 3, T> &a) {
  dealii::Tensor<2, 3, dealii::VectorizedArray<double>> b;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j)
      b[i][j] = a[i][j];
  return b;
}
inline dealii::Tensor<1, 3, dealii::VectorizedArray<double>> wide(const dealii::Tensor<1, 3> &a) {
  dealii::Tensor<1, 3, dealii::VectorizedArray<double>> b;
  for (unsigned i = 0; i < 3; ++i)
    b[i] = a[i];
  return b;
}

/// Adds what `phi` (a cell's or a face's) has integrated to the unknowns of its cell, to fixed ones too.
template <typename Eval, typename Cell>
void add_to_all(const Eval &phi, const Level &level, const Cell &cell, Vector &to) {
  const std::vector<unsigned> lexicographic =
      dealii::FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  std::vector<dealii::types::global_dof_index> index(81);
  dealii::DoFCellAccessor<3, 3, false>(&level.triangulation, cell->level(), cell->index(), &level.dofs)
      .get_dof_indices(index);
  for (unsigned i = 0; i < 81; ++i)
    to(index[level.fe.component_to_system_index(i / 27, lexicographic[i % 27])]) +=
        phi.begin_dof_values()[i][0];
}

inline dealii::Point<3> real_point(const dealii::Point<3, dealii::VectorizedArray<double>> &p) {
  return dealii::Point<3>(p[0][0], p[1][0], p[2][0]);
}

} // namespace raybend
