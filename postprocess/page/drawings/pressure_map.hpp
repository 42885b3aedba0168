// Plantar pressure as filled contours of an SVG.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <string>
#include <vector>

namespace raybend {

struct PressureMaps {
  std::vector<std::string> svg; ///< one a design in the order of the case; empty: none to show
  std::string key;              ///< the scale with its colours, kPa; an SVG
};

/// All designs on one scale, toes up, with edges of support elements and the square under the painful head that
/// carries most. Pressure between calculated points is linear.
PressureMaps pressure_maps(const ReportInput &input);

} // namespace raybend
