// Blocks round a square hole, which a shape bends to tubes and discs.
#pragma once
#include "meshing/coarse_mesh.hpp"

namespace raybend {

/// Point i of a square of half side r, counter-clockwise from its lower right corner, `sides` to each side.
std::array<double, 2> square_ring_point(unsigned i, unsigned sides, double r);

/// A logical mesh round a closed tube, `across` cells through the wall and `along` the axis. Logical (x, y) is
/// the square ring between half sides `hole` < 1 and 1, z in [0, length]. The inner face has id 3, the outer
/// 4, the ends 5 and 6. `sides` cells along each of the four sides.
CoarseMesh ring_mesh(double hole, double length, unsigned sides, unsigned across, unsigned along);

} // namespace raybend
