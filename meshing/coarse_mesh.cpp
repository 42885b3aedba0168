// The coarsest mesh of a body as plain values: what Gmsh (or a few loops) made and the solver refines.
#include "meshing/coarse_mesh.hpp"
#include <stdexcept>
#include <string>

namespace raybend {

void check_orientation(const CoarseMesh &mesh) {
  for (std::size_t i = 0; i < mesh.cells.size(); ++i) {
    const auto &c = mesh.cells[i];
    for (unsigned corner = 0; corner < 8; ++corner) {
      const auto edge = [&](unsigned axis) {
        const unsigned other = corner ^ (1u << axis);
        const double sign = (corner >> axis) & 1u ? -1 : 1;
        return sign * (mesh.vertices[c[other]] - mesh.vertices[c[corner]]);
      };
      if (dot(cross(edge(0), edge(1)), edge(2)) <= 0)
        throw std::logic_error("cell " + std::to_string(i) + " of the coarsest mesh is turned inside out");
    }
  }
}

} // namespace raybend
