// Plantar pressure of all designs side by side, seen from above, on one scale.
#pragma once
#include "postprocess/report_input.hpp"
#include <string>

namespace raybend {

/// Writes the maps as PNG. False, and no file, if no design has a plantar surface. Needs a Display; throws
/// std::runtime_error if it cannot be written.
bool write_pressure_maps(const ReportInput &input, const std::string &path);

} // namespace raybend
