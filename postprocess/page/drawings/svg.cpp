// Shapes and words of an SVG.
#include "postprocess/page/drawings/svg.hpp"
#include "postprocess/page/html.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {
constexpr auto thin = "stroke=\"#333f4d\" stroke-width=\"0.18\" fill=\"none\"";
} // namespace

std::string svg_path(const std::vector<SvgPoint> &points, const bool closed) {
  std::string d;
  for (const SvgPoint &p : points)
    d += (d.empty() ? "M" : "L") + fixed(p[0], 2) + " " + fixed(p[1], 2);
  return d + (closed && !d.empty() ? "Z" : "");
}

std::string svg_shape(const std::string &path, const std::string &attributes) {
  return "<path d=\"" + path + "\" " + attributes + "/>\n";
}

std::string svg_line(const SvgPoint from, const SvgPoint to, const std::string &attributes) {
  return svg_shape(svg_path({from, to}, false), attributes);
}

std::string svg_text(const SvgPoint at, const std::string &words, const double size,
                     const std::string &anchor, const std::string &more) {
  return "<text x=\"" + fixed(at[0], 2) + "\" y=\"" + fixed(at[1], 2) + "\" font-size=\"" + fixed(size, 1) +
         "\" text-anchor=\"" + anchor + "\"" + (more.empty() ? "" : " " + more) + ">" + escaped(words) +
         "</text>\n";
}

std::string svg_dimension(double x1, double x2, const double y, const double from_y,
                          const std::string &words) {
  if (x1 > x2)
    std::swap(x1, x2);
  const double size = 3, width = 0.56 * size * text_width(words), head = std::min(1.6, (x2 - x1) / 3);
  std::string text;
  for (const double x : {x1, x2})
    text += svg_line({x, from_y}, {x, y + 1}, "stroke=\"#8894a3\" stroke-width=\"0.13\" fill=\"none\"");
  text += svg_line({x1, y}, {x2, y}, thin);
  for (const auto &[x, way] : {std::pair(x1, 1.0), std::pair(x2, -1.0)})
    text += svg_shape(svg_path({{x, y}, {x + way * head, y - 0.45}, {x + way * head, y + 0.45}}, true),
                      "fill=\"#333f4d\"");
  const bool fits = width < x2 - x1 - 0.5;
  return text + (fits ? svg_text({(x1 + x2) / 2, y - 0.8}, words, size, "middle")
                      : svg_text({x2 + 1, y + 1}, words, size));
}

} // namespace raybend
