// A row or two of equal panels, one a design, with room for a title above and a colour bar at the right.
#pragma once
#include <cstddef>

namespace raybend {

struct Panels {
  std::size_t columns = 1, rows = 1;
  int width = 0, height = 0;       ///< whole picture, points
  double panel_w = 0, panel_h = 0; ///< drawing area of one panel, its name's line not included
  double name_h = 0;               ///< height of the line above the drawing area
  double margin = 24, title_h = 86, bar_w = 110, foot_h = 40;

  /// Up to three panels a row.
  Panels(std::size_t count, double panel_w, double panel_h, double name_h);

  /// Lower left corner of panel i's drawing area, points from the lower left of the picture.
  double left(std::size_t i) const;
  double bottom(std::size_t i) const;
};

} // namespace raybend
