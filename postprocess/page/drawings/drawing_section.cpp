// The section of a design along one ray, as columns of materials.
#include "geometry/insole_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "postprocess/page/drawings/drawing.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

/// What each of InsoleShape::materials() stands for, in its order: layers from the ground up (a shank is a second
/// material of the sole), support elements that bring a material, filler foam.
std::vector<SectionPart> parts_of(const Design &design, const std::size_t materials) {
  using Of = SectionPart::Of;
  std::vector<SectionPart> parts;
  for (std::size_t k = 0; k < design.layers.size(); ++k) {
    parts.push_back({Of::layer, k});
    if (design.layers[k].role == LayerRole::sole && design.shoe.shank_e > 0)
      parts.push_back({Of::layer, k});
  }
  for (std::size_t k = 0; k < design.support.size(); ++k)
    if (const SupportKind kind = design.support[k].kind;
        kind != SupportKind::wedge && kind != SupportKind::relief && kind != SupportKind::first_ray_cut_out)
      parts.push_back({Of::element, k});
  parts.resize(materials, {Of::filler, 0});
  return parts;
}

} // namespace

std::string part_colour(const Design &design, const SectionPart &part) {
  static const char *const of_role[] = {"#aab1ba", "#4f5d6b", "#ead7b3", "#b5d3e4"}; // as LayerRole counts
  static const char *const of_element[] = {"#e08a3c", "#3d9a8b", "#9a7fc0", "#c9605b"};
  switch (part.of) {
  case SectionPart::Of::layer:
    return of_role[static_cast<int>(design.layers[part.place].role)];
  case SectionPart::Of::element:
    return of_element[part.place % 4];
  case SectionPart::Of::filler:
    break;
  }
  return "#f4efe4";
}

std::vector<SectionColumn> section_along(const Forefoot &foot, const Design &design, const int ray) {
  constexpr double slice = 0.1, along = 0.04; // mm, stations
  const FootShape shape(foot);
  const InsoleShape insole(design, shape);
  const std::vector<SectionPart> parts = parts_of(design, insole.materials().size());
  const double b = logical::axis_of(ray);
  std::vector<SectionColumn> columns;
  for (int i = 0; i * along <= logical::stations; ++i) {
    const double s = i * along;
    std::array<double, 5> level{};
    for (int k = 0; k < 5; ++k)
      level[k] = insole.point({s, b, -1.0 - k})[2];
    SectionColumn column;
    const Vec3 top_of = insole.point({s, b, -1.0});
    column.x = top_of[0];
    column.y = top_of[1];
    const int slices = std::max(1, static_cast<int>(std::lround((level[0] - level[4]) / slice)));
    const double step = (level[0] - level[4]) / slices;
    for (int k = 0; k < slices; ++k) {
      const double top = level[0] - k * step, z = top - step / 2;
      int row = 0;
      while (row < 3 && z < level[row + 1])
        ++row;
      const double d = -1 - row - (level[row] - z) / std::max(1e-9, level[row] - level[row + 1]);
      const SectionPart part = parts[insole.material_at({s, b, d})];
      if (column.pieces.empty() || !(column.pieces.back().part == part))
        column.pieces.push_back({part, top, top - step});
      column.pieces.back().bottom = top - step;
    }
    columns.push_back(column);
  }
  return columns;
}

} // namespace raybend
