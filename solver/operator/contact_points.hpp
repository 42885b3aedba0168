// What is read at the points of contact.
#pragma once
#include "solver/discretization/level.hpp"

namespace raybend {

class SolidOperator;

/// One quadrature point of the contact pair.
struct ContactPoint {
  Vec3 logical;          ///< on the upper body
  double step_s, step_b; ///< extent of the cell in the logical frame
  double pressure;       ///< MPa per plan area
  double shear;          ///< MPa per plan area, by which the pair's grip resists
  double area;           ///< mm2 of plan that belongs to the point
  double slip;           ///< mm along the face by which the two paired points stand apart
  double slip_cells;     ///< the same in cells of the mesh
  unsigned q;            ///< 0..8, first direction fastest
};

/// Visits the contact points of this rank, each once, at the displacement u.
void visit_contact(const SolidOperator &op, const Vector &u,
                   const std::function<void(const ContactPoint &)> &visit);

} // namespace raybend
