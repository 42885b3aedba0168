// The deal.II objects of the last solve, for those who write fields.
#pragma once
#include "geometry/foot_shape.hpp"
#include "geometry/insole_shape.hpp"
#include "solver/loads.hpp"
#include "solver/newton/newton.hpp"
#include <vector>

namespace raybend {

struct ForefootState {
  FootShape shape;
  std::unique_ptr<InsoleShape> insole;
  Activity activity;
  CoarseMesh mesh;
  std::unique_ptr<Problem> problem;
  std::vector<std::unique_ptr<Level>> levels;                   ///< coarsest first
  std::vector<std::unique_ptr<SolidOperator>> operators;        ///< one a level
  std::vector<std::shared_ptr<Preconditioner>> preconditioners; ///< [l] works on levels 0..l
  std::vector<Vector> displacement;                             ///< u on each level, ghosts not set
  std::vector<Vector> carried;                                  ///< where it began: u of the level below

  explicit ForefootState(const Forefoot &foot) : shape(foot) {}
};

} // namespace raybend
