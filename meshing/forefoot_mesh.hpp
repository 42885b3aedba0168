// Builds the one mesh that serves every design of every foot: swept, all hexahedra, in the logical frame.
#pragma once
#include "meshing/coarse_mesh.hpp"
#include <string>

namespace raybend {

/// The swept block mesh made by the Gmsh SDK (transfinite, recombined, extruded). Tags: meshing/tags.hpp.
/// The marrow canal has no cells. If `msh_path` is not empty the logical mesh is also saved there.
/// Throws std::runtime_error if Gmsh does not return the expected hexahedra.
CoarseMesh build_forefoot_mesh(const std::string &msh_path = "");

} // namespace raybend
