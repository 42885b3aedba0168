// Boxes of hexahedra for simple bodies.
#pragma once
#include "meshing/coarse_mesh.hpp"

namespace raybend {

/// Boundary ids of a box: 1 + 2 * axis on the low side, 2 + 2 * axis on the high side (x: 1, 2; y: 3, 4; z:
/// 5, 6). n cells along each axis, n >= 1; every cell carries `tag`.
CoarseMesh box_mesh(const Vec3 &low, const Vec3 &high, const std::array<unsigned, 3> &n, unsigned tag = 1);

/// Appends `other` to `mesh` as a separate body; its face ids are raised by `id_shift`.
void append(CoarseMesh &mesh, const CoarseMesh &other, unsigned id_shift);

} // namespace raybend
