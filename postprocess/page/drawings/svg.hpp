// Shapes and words of an SVG, in millimetres from the upper left corner.
#pragma once
#include <array>
#include <string>
#include <vector>

namespace raybend {

using SvgPoint = std::array<double, 2>;

/// "M..L..", closed with "Z"; two digits behind the point.
std::string svg_path(const std::vector<SvgPoint> &points, bool closed);

/// Attributes stand as they are, such as fill="none".
std::string svg_shape(const std::string &path, const std::string &attributes);
std::string svg_line(SvgPoint from, SvgPoint to, const std::string &attributes);
/// `anchor`: start, middle or end; `more`: further attributes. The words are escaped.
std::string svg_text(SvgPoint at, const std::string &words, double size = 3.2,
                     const std::string &anchor = "start", const std::string &more = "");

/// A dimension between two places on one level: arrows, extension lines from `from_y`, the words above it or, where
/// they do not fit, beside its right end.
std::string svg_dimension(double x1, double x2, double y, double from_y, const std::string &words);

} // namespace raybend
