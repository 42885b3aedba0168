// A design drawn to scale for the workshop: plan with the foot's outline and rays, and the section along the painful
// ray through layers and support elements, with dimensions in mm.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include "postprocess/page/drawings/svg.hpp"

namespace raybend {

/// What a colour of the section stands for.
struct SectionPart {
  enum class Of { layer, element, filler } of = Of::layer;
  std::size_t place = 0; ///< among the design's layers or support elements
  bool operator==(const SectionPart &other) const { return of == other.of && place == other.place; }
};
std::string part_colour(const Design &design, const SectionPart &part);

/// One column of a section: at x and y in plan (mm, distal and medial positive), from the top down.
struct SectionColumn {
  double x = 0, y = 0;
  struct Piece {
    SectionPart part;
    double top = 0, bottom = 0; ///< heights, mm
  };
  std::vector<Piece> pieces;
};

/// The section along a ray's axis, about 0.5 mm apart, heights to 0.1 mm; the insole as made, under the unloaded foot.
std::vector<SectionColumn> section_along(const Forefoot &foot, const Design &design, int ray);

/// An SVG whose units are millimetres of the insole; `alone`: as a file that prints at 1:1, with title and cautions.
/// Empty where the design has no layers.
std::string design_drawing(const ReportInput &input, std::size_t place, bool alone);

} // namespace raybend
