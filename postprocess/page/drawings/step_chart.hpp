// Strain of the painful ray over stance, a line a design.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <string>

namespace raybend {

/// An SVG with a table of its numbers folded away below it: peak strain of the painful ray (microstrain) at every instant
/// that was solved (% of stance), of each design with its support elements. "" where only one instant was solved.
std::string step_chart(const ReportInput &input);

} // namespace raybend
