// Gradients of the 27-node shape functions in unit coordinates.
#pragma once
#include "solver/discretization/level.hpp"
#include <array>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>
#include <vector>

namespace raybend {

using UnitGradients = std::vector<std::array<dealii::Tensor<1, 3>, 27>>;

/// [Gauss point][node], nodes in lexicographic order as in FEEvaluation. Made once.
inline const UnitGradients &unit_shape_gradients() {
  static const UnitGradients table = [] {
    const dealii::FE_Q<3> fe(fe_degree);
    const dealii::QGauss<3> quadrature(n_points_1d);
    const std::vector<unsigned> lexicographic =
        dealii::FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
    UnitGradients gradients(quadrature.size());
    for (unsigned q = 0; q < quadrature.size(); ++q)
      for (unsigned i = 0; i < 27; ++i)
        gradients[q][i] = fe.shape_grad(lexicographic[i], quadrature.point(q));
    return gradients;
  }();
  return table;
}

} // namespace raybend
