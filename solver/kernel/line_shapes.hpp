// The three shape functions of a line at its three Gauss points: factors of those of faces and cells.
#pragma once
#include "solver/discretization/level.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>

namespace raybend {

struct LineShapes {
  double value[n_points_1d][fe_degree + 1], slope[n_points_1d][fe_degree + 1]; ///< [point][node from 0 to 1]
};

/// Made once.
inline const LineShapes &line_shapes() {
  static const LineShapes shapes = [] {
    const dealii::FE_Q<1> line(fe_degree);
    const dealii::QGauss<1> gauss(n_points_1d);
    const std::vector<unsigned> along = dealii::FETools::lexicographic_to_hierarchic_numbering<1>(fe_degree);
    LineShapes s;
    for (unsigned q = 0; q < n_points_1d; ++q)
      for (unsigned i = 0; i <= fe_degree; ++i) {
        s.value[q][i] = line.shape_value(along[i], gauss.point(q));
        s.slope[q][i] = line.shape_grad(along[i], gauss.point(q))[0];
      }
    return s;
  }();
  return shapes;
}

} // namespace raybend
