// Hexahedra of a beam: a few blocks of its section, carried along the axis.
#pragma once
#include "geometry/beam.hpp"
#include "meshing/coarse_mesh.hpp"

namespace raybend {

/// Boundary ids. The outer side carries side + 2 * layer on its lower face (rectangle, layered: zeta = -1;
/// other shapes: the half zeta < 0), side + 2 * layer + 1 elsewhere; `layer` counts the cells along the axis.
/// Inner faces of tubes carry none.
constexpr unsigned beam_start_id = 1, beam_end_id = 2, beam_side_id = 10;

/// Logical frame: x is the arc length, (y, z) as in section_point. `planes`: increasing arc lengths, >= 2 of
/// them.
CoarseMesh beam_mesh(const SectionForm &section, const std::vector<double> &planes);

/// Area (mm2) and second moments (mm4) of the section as the cells of a level make it up: an outline of
/// parabolic arcs.
struct SectionSums {
  double area = 0, iy = 0, iz = 0;
};
SectionSums meshed_section(const Beam &beam, double s, unsigned level);

/// Largest edge of the section's blocks, mm: what the cells' length along the axis goes by.
double block_size(const Beam &beam);

} // namespace raybend
