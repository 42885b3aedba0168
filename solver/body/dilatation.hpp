// The volume change that a mixed cell's pressure sees.
#pragma once
#include "solver/discretization/level.hpp"

namespace raybend {

/// div u of one cell, projected on the functions 1, x, y, z as in solver/operator/mixed_cell.hpp (small
/// strain).
class Dilatation {
public:
  Dilatation(const Level &level, const Vector &u, const dealii::DoFHandler<3>::active_cell_iterator &cell);
  /// At a place of the reference shape in the cell, mm.
  double operator()(const Vec3 &place) const;

private:
  dealii::Point<3> centre_;
  double size_ = 1;
  std::array<double, 4> coefficients_{};
};

} // namespace raybend
