// Between the project's vectors and deal.II's, and the deformation gradient.
#pragma once
#include "geometry/vec3.hpp"
#include "solver/materials/material.hpp"
#include <cmath>

namespace raybend {

inline dealii::Tensor<1, 3> tensor(const Vec3 &v) {
  return dealii::Tensor<1, 3>({v[0], v[1], v[2]});
}
inline Vec3 vec(const dealii::Tensor<1, 3> &p) {
  return {p[0], p[1], p[2]};
}
/// The part of u normal to the unit vector d.
inline dealii::Tensor<1, 3> across(const dealii::Tensor<1, 3> &u, const dealii::Tensor<1, 3> &d) {
  return u - (u * d) * d;
}

/// F = I + grad u
inline Tensor2 deformation(Tensor2 gradient) {
  for (unsigned i = 0; i < 3; ++i)
    gradient[i][i] += 1;
  return gradient;
}

/// R of F = R U, det F > 0: the orthogonal matrix nearest to F (Newton's iteration of Higham 1986, from memory).
inline Tensor2 rotation_part(Tensor2 f) {
  f /= std::cbrt(determinant(f)); // a sum of deformation gradients will do as well
  for (int i = 0; i < 20; ++i) {
    const Tensor2 next = 0.5 * (f + transpose(invert(f)));
    const double change = (next - f).norm();
    f = next;
    if (change < 1e-14)
      break;
  }
  return f;
}

} // namespace raybend
