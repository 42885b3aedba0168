// Between deal.II's wide numbers, of one lane here, and plain ones.
#pragma once
#include "solver/operator/small_tensors.hpp"
#include <deal.II/base/vectorization.h>

namespace raybend {

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

inline dealii::Point<3> real_point(const dealii::Point<3, dealii::VectorizedArray<double>> &p) {
  return dealii::Point<3>(p[0][0], p[1][0], p[2][0]);
}

} // namespace raybend
