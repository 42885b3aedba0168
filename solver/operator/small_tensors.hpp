// Between the project's vectors and deal.II's, and the deformation gradient.
#pragma once
#include "geometry/vec3.hpp"
#include "solver/materials/material.hpp"

namespace raybend {

inline dealii::Tensor<1, 3> tensor(const Vec3 &v) {
  return dealii::Tensor<1, 3>({v[0], v[1], v[2]});
}
inline Vec3 vec(const dealii::Tensor<1, 3> &p) {
  return {p[0], p[1], p[2]};
}

/// F = I + grad u
inline Tensor2 deformation(Tensor2 gradient) {
  for (unsigned i = 0; i < 3; ++i)
    gradient[i][i] += 1;
  return gradient;
}

} // namespace raybend
