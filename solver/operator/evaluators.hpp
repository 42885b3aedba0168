// deal.II's evaluation of the displacement in cells and on faces, for the files that implement SolidOperator.
#pragma once
#include "solver/discretization/level.hpp"
#include <deal.II/matrix_free/fe_evaluation.h>

namespace raybend {

using CellEval = dealii::FEEvaluation<3, fe_degree, n_points_1d, 3, double>;
using FaceEval = dealii::FEFaceEvaluation<3, fe_degree, n_points_1d, 3, double>;

} // namespace raybend
