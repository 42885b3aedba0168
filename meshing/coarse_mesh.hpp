// The coarsest mesh of a body as plain values: what Gmsh (or a few loops) made and the solver refines.
#pragma once
#include "geometry/vec3.hpp"
#include <array>
#include <vector>

namespace raybend {

/// Hexahedra with a tag each and named boundary faces, in the logical frame.
/// Vertex order of a cell is lexicographic: (0,0,0) (1,0,0) (0,1,0) (1,1,0) (0,0,1) ... in its own axes.
struct CoarseMesh {
  std::vector<Vec3> vertices;
  std::vector<std::array<unsigned, 8>> cells;
  std::vector<unsigned> tags; ///< one a cell

  struct Face {
    std::array<unsigned, 4> vertices; ///< in any cyclic or lexicographic order
    unsigned id;
  };
  std::vector<Face> faces; ///< boundary faces that carry an id other than 0
};

/// Throws std::logic_error if a cell of the mesh is turned inside out in the logical frame.
void check_orientation(const CoarseMesh &mesh);

} // namespace raybend
