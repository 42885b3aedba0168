// Plantar pressure of all designs side by side, seen from above, on one scale.
#pragma once
#include "postprocess/report_input.hpp"
#include <string>

namespace raybend {

/// Writes the maps as PNG. False, and no file, if no design has a plantar surface. Needs a Display; throws
/// std::runtime_error if it cannot be written.
bool write_pressure_maps(const ReportInput &input, const std::string &path);

/// End of the scale, kPa: a round number not below `highest`, the largest value drawn, nor below any head's
/// peak, which can be larger since the drawn values are means at shared corners.
double pressure_scale_top(const ReportInput &input, double highest);

} // namespace raybend
