// A row or two of equal panels, one a design, with room for a title above and a colour bar at the right.
#include "postprocess/pictures/panels.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

Panels::Panels(std::size_t count, double w, double h, double name) : panel_w(w), panel_h(h), name_h(name) {
  columns = std::clamp<std::size_t>(count == 4 ? 2 : count, 1, 3);
  rows = std::max<std::size_t>(1, (count + columns - 1) / columns);
  constexpr double least_w = 860; // the title needs as much
  const double panels_w = columns * panel_w;
  width = static_cast<int>(std::ceil(std::max(panels_w + 2 * margin + bar_w, least_w)));
  height = static_cast<int>(std::ceil(title_h + foot_h + rows * (panel_h + name_h)));
}

double Panels::left(std::size_t i) const {
  const double room = width - 2 * margin - bar_w; // a lone panel is centred
  return margin + (room - columns * panel_w) / 2 + (i % columns) * panel_w;
}

double Panels::bottom(std::size_t i) const {
  return height - title_h - (i / columns + 1) * (panel_h + name_h);
}

} // namespace raybend
