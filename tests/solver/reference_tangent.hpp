// The tangent written as the weak form reads: what the fast one is tested against.
#pragma once
#include "solver/discretization/level.hpp"
#include <deal.II/lac/full_matrix.h>

namespace raybend {

/// d2 Pi of the potential in solver/operator/solid_operator.hpp, N/mm, dense, by plain loops over cells, faces and ties
/// (deal.II's FEValues, the laws' own S and CC); nothing of the operator is used. One rank.
struct ReferenceTangent {
  dealii::FullMatrix<double> sparse; ///< in u, w at rest: cells and faces
  dealii::FullMatrix<double> whole;  ///< in u, with ties, w eliminated
  std::vector<double> slope;         ///< dPi/dw, N: nil where w is the motion that belongs to u
};

/// At u (mm), the motions w (mm; the carrier's, then the slide's) and a load factor. `bound`: compressive principal values
/// of S in the geometric part of cells are raised to -bound shear moduli (negative: left).
ReferenceTangent reference_tangent(const Problem &problem, const Level &level, const Vector &u,
                                   const std::vector<double> &w, double load, double bound = -1);

} // namespace raybend
