// A whole forefoot through CalculiX: 20-node hexahedra on the mesh's own nodes, CalculiX's own contact, springs and
// rigid bodies. Needs the program `ccx` (Debian: calculix-ccx).
#pragma once
#include "tests/ccx/ccx.hpp"

namespace raybend {

struct CcxForefoot {
  std::array<double, 5> head_force; ///< N, of foot on insole distal of station 4, as RayResult::head_force
  double contact_area;              ///< mm2, of the skin that touches the insole
  double ground_force;              ///< N, of the ground on the sole
  double midfoot_drop;              ///< mm
  std::map<unsigned, Vec3> displacement; ///< mm, by node, as CcxAnswer::displacement
};

/// The problem of `forefoot_problem` at the full load, geometrically linear, each law by its tangent at rest. What is
/// carried over, and how:
///
/// - every cell as a C3D20 (full integration, as the cells' own) on its 20 nodes out of 27;
/// - contact of foot and insole and of sole and ground: surface to surface, linear penalty per area, opening and
///   closing. CalculiX presses along the lower face's normal and counts the upper face's own area, so the insole's top
///   has to be flat and the skin on it nearly so;
/// - springs of bases, cuts, rim and front and the ground's grip: springs at the faces' 3 x 3 Gauss points, between a
///   node that moves as the element does there and one on a rigid body;
/// - midfoot: a rigid body that settles and turns against rotational springs. A second one stands for `Problem::slide`;
/// - ties: a spring with a force-elongation table (pretension, slack, flexor's constant pull) between nodes that are
///   tied to the mean displacement of a head and the midfoot, or of two heads; stops of the joints likewise, on the
///   difference of the cortex above and below;
/// - toes' loads as forces on the nodes.
///
/// Throws std::logic_error if the problem holds what has no such counterpart, std::runtime_error if ccx is missing or
/// fails.
CcxForefoot run_ccx_forefoot(const Body &body);

/// Number of the node at a place of the logical frame. Throws std::logic_error if there is none.
unsigned ccx_node_at(const Level &level, const Vec3 &logical);

} // namespace raybend
