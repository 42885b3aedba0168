// Charts of the comparison: strain along every shaft, peak bending stress with and without support elements.
#pragma once
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/compare/report_input.hpp"
#include <string>
#include <vector>

namespace raybend {

constexpr int chart_width = 1200, chart_height = 800; ///< points

/// Dorsal and plantar strain along the five shafts, all designs that converged in one panel a ray.
Drawing shaft_strain_chart(const ReportInput &input);

/// Peak bending stress of each ray, bars with bands: filled with the support elements, hollow without them.
Drawing bending_stress_chart(const ReportInput &input);

/// Writes a drawing of chart size as FOLDER/NAME.png and .svg; returns the files' names. Needs a Display.
std::vector<std::string> write_chart(const Drawing &drawing, const std::string &folder,
                                     const std::string &name);

/// Writes both charts, `ending` behind their names; returns the files' names. Needs a Display.
std::vector<std::string> write_charts(const ReportInput &input, const std::string &folder,
                                      const std::string &ending = "");

} // namespace raybend
