// From joined patches to something VTK draws; used by the pictures only.
#pragma once
#include "postprocess/canvas/colours.hpp"
#include "postprocess/pictures/patch_mesh.hpp"
#include <functional>

class vtkRenderer;

namespace raybend {

/// A colour scale with its limits.
struct ValueScale {
  std::function<Colour(double)> colour; ///< takes 0..1
  double low = 0, high = 1;
};

/// Adds the surface. `shaded`: coloured by the values at its points, smooth normals and light; else each
/// facet in the one colour of its own value, without light.
void add_surface(vtkRenderer *renderer, const PatchMesh &mesh, const ValueScale &scale, bool shaded);

/// Adds the outline as lines `width` pixels wide, `lift` mm above the surface.
void add_outline(vtkRenderer *renderer, const PatchMesh &mesh, Colour colour, double width, double lift);

/// Adds line segments `width` pixels wide, moved by `lift` so that the surface does not hide them.
void add_lines(vtkRenderer *renderer, const std::vector<std::array<Vec3, 2>> &lines, Colour colour,
               double width, const Vec3 &lift);

} // namespace raybend
