// Blocks of hexahedra joined into one mesh, and names for its outer faces.
#pragma once
#include "meshing/coarse_mesh.hpp"
#include <functional>

namespace raybend {

/// Joins `other` to `mesh`: vertices nearer than `tolerance` become one. Named faces are kept.
void merge(CoarseMesh &mesh, const CoarseMesh &other, double tolerance = 1e-9);

/// The part of a cube [0, 1]^3 between max(x, y, z) = hole and 1: three blocks that meet along the diagonal,
/// the logical form of an eighth of a hollow sphere (or of a cavity in a cube). `sides` cells along each edge
/// of a block, `across` from hole to 1. 0 < hole < 1.
CoarseMesh octant_shell(double hole, unsigned sides, unsigned across);

/// A quarter of a disc in logical form, times [0, length] along z: the square [0, 1]^2 with a core [0,
/// hole]^2 of sides x sides cells and two blocks of sides x across cells round it. 0 < hole < 1.
CoarseMesh quarter_disc(double hole, double length, unsigned sides, unsigned across, unsigned along);

/// Gives each outer face the id that `id` finds for its centre (0: none), replacing all former names.
void name_outer_faces(CoarseMesh &mesh, const std::function<unsigned(const Vec3 &centre)> &id);

} // namespace raybend
