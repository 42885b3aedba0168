// The rotation in a deformation gradient, and its vector.
#pragma once
#include "geometry/vec3.hpp"
#include "solver/materials/material.hpp"
#include <cmath>

namespace raybend {

/// R of F = R U by Newton's iteration for the orthogonal polar factor, R <- (R + R^-T)/2 (Higham 1986; from
/// memory). det F > 0.
inline Tensor2 rotation_of(const Tensor2 &f) {
  Tensor2 r = f;
  for (unsigned i = 0; i < 50; ++i) {
    const Tensor2 next = 0.5 * (r + transpose(invert(r)));
    const double change = (next - r).norm();
    r = next;
    if (change < 1e-15)
      break;
  }
  return r;
}

/// Axis times angle of a rotation, rad; below 180 deg.
inline Vec3 rotation_vector(const Tensor2 &r) {
  const Vec3 twice_sine = {r[2][1] - r[1][2], r[0][2] - r[2][0], r[1][0] - r[0][1]};
  const double sine = norm(twice_sine) / 2, angle = std::atan2(sine, (trace(r) - 1) / 2);
  return (sine > 0 ? angle / (2 * sine) : 0.0) * twice_sine;
}

} // namespace raybend
