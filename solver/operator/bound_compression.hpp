// Keeps level matrices positive under strong compression.
#pragma once
#include "solver/materials/material.hpp"

namespace raybend {

/// Raises principal values of S below -bound to -bound (MPa, bound >= 0). Used for preconditioning only: the
/// compressive part of the geometric stiffness is what makes coarse matrices indefinite. True if `s` changed.
inline bool bound_compression(Sym2 &s, double bound) {
  if (dealii::eigenvalues(s)[2] >= -bound)
    return false;
  const auto pairs = dealii::eigenvectors(s, dealii::SymmetricTensorEigenvectorMethod::jacobi);
  s = 0;
  for (const auto &[value, direction] : pairs)
    s += std::max(value, -bound) * symmetrize(outer_product(direction, direction));
  return true;
}

} // namespace raybend
