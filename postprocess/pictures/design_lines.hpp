// A design's name in a narrow place of a picture.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include "postprocess/compare/report_input.hpp"

namespace raybend {

/// "A  NAME" and `after` in at most `most` lines as Painter::lines has them. Where that would cut what tells the
/// name from another design's, what both begin with is left out in its place.
std::vector<std::string> design_lines(Painter &p, const ReportInput &input, std::size_t place, double room,
                                      std::size_t most, const TextStyle &style,
                                      const std::string &after = "");

} // namespace raybend
