// What page.js turns in space: the metatarsals, the insole's top surface and the edges on it.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <string>

namespace raybend {

/// JSON that is safe inside a script element; empty where no design has bones. Places in hundredths of a millimetre
/// and stresses in parts of 32767 of the scale's end, as base64 of two-byte numbers.
std::string scene_json(const ReportInput &input);

} // namespace raybend
