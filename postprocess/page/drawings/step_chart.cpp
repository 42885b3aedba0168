// Strain of the painful ray over stance, a line a design.
#include "postprocess/page/drawings/step_chart.hpp"
#include "postprocess/page/drawings/svg.hpp"
#include "postprocess/page/html.hpp"
#include "postprocess/page/page_parts.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>
#include <cmath>
#include <utility>

namespace raybend {

namespace {

constexpr double left = 16, right = 150, top = 6, bottom = 70; // mm, of the frame

struct Range {
  double low = 1e9, high = -1e9;
  void add(const double x) {
    low = std::min(low, x);
    high = std::max(high, x);
  }
};

double strain_at(const ReportInput &input, const DesignResult &instant) {
  return instant.ray[input.foot.painful_ray - 1].peak_strain.value;
}

/// 1, 2 or 5 times a power of ten, at most six of them up to `most`.
double tick_step(const double most) {
  double step = std::pow(10.0, std::floor(std::log10(most / 6)));
  for (const double factor : {2.0, 2.5, 2.0})
    if (most / step > 6)
      step *= factor;
  return step;
}

/// Row of the table: the design and its strain at every instant.
std::string table_row(const ReportInput &input, const std::size_t place) {
  const DesignOutcome &o = input.outcomes[place];
  std::string row =
      "<tr><th scope=\"row\">" + page_letter(place) + " " + escaped(o.name_for_people()) + "</th>";
  for (const DesignResult &instant : o.with_instants)
    row += "<td class=\"right\">" +
           (instant.converged ? fixed(strain_at(input, instant)) : std::string("–")) + "</td>";
  return row + "</tr>\n";
}

} // namespace

std::string step_chart(const ReportInput &input) {
  Range stance;
  double most = 0;
  for (const DesignOutcome &o : input.outcomes)
    for (const DesignResult &instant : o.with_instants)
      if (instant.converged) {
        stance.add(instant.stance_percent);
        most = std::max(most, strain_at(input, instant));
      }
  if (!(stance.high > stance.low) || !(most > 0))
    return "";
  const double step = tick_step(most), ceiling = step * std::ceil(most / step);
  const auto at = [&](const double percent, const double strain) -> SvgPoint {
    return {left + 4 + (right - left - 8) * (percent - stance.low) / (stance.high - stance.low),
            bottom - (bottom - top) * strain / ceiling};
  };
  std::string shapes;
  for (double tick = 0; tick <= ceiling * (1 + 1e-9); tick += step) {
    const double y = at(stance.low, tick)[1];
    shapes += svg_line({left, y}, {right, y}, "stroke=\"#ccc\" stroke-width=\"0.2\"") +
              svg_text({left - 1.5, y + 1.1}, fixed(tick), 3.2, "end");
  }
  const auto &longest = *std::max_element(input.outcomes.begin(), input.outcomes.end(),
                                          [](const DesignOutcome &a, const DesignOutcome &b) {
                                            return a.with_instants.size() < b.with_instants.size();
                                          });
  std::string heads;
  for (const DesignResult &instant : longest.with_instants) {
    const std::string percent = csv_number(instant.stance_percent);
    const double x = at(instant.stance_percent, 0)[0];
    shapes += svg_line({x, bottom}, {x, bottom + 1.2}, "stroke=\"#333\" stroke-width=\"0.25\"") +
              svg_text({x, bottom + 5}, percent, 3.2, "middle");
    heads += "<th scope=\"col\" class=\"right\">" + percent + " %</th>";
  }
  shapes += svg_text({(left + right) / 2, bottom + 10.5}, "% of stance", 3.2, "middle");
  std::string rows;
  std::vector<std::pair<double, std::size_t>> ends; // of the lines: height and design
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    std::vector<SvgPoint> line;
    for (const DesignResult &instant : input.outcomes[i].with_instants)
      if (instant.converged)
        line.push_back(at(instant.stance_percent, strain_at(input, instant)));
    if (line.empty())
      continue;
    const std::string colour = " class=\"c" + std::to_string(i % 6) + "\"";
    shapes += svg_shape(svg_path(line, false),
                        "fill=\"none\" stroke=\"currentColor\" stroke-width=\"0.7\"" + colour);
    for (const SvgPoint &p : line)
      shapes += svg_shape(
          svg_path({{p[0] - 0.8, p[1]}, {p[0], p[1] - 0.8}, {p[0] + 0.8, p[1]}, {p[0], p[1] + 0.8}}, true),
          "fill=\"currentColor\"" + colour);
    ends.push_back({line.back()[1], i});
    rows += table_row(input, i);
  }
  // Letters at the right end, from above, each below the one before.
  std::sort(ends.begin(), ends.end());
  constexpr double letter_height = 3.6;
  double free_from = 0;
  for (const auto &[height, place] : ends) {
    const double y = std::max(height, free_from);
    free_from = y + letter_height;
    shapes += svg_text({right + 1.5, y + 1.2}, design_letter(place), letter_height, "start",
                       "font-weight=\"bold\"");
  }
  const std::string ray = std::to_string(input.foot.painful_ray);
  return "<svg class=\"step-chart\" viewBox=\"0 0 160 84\" role=\"img\" aria-label=\"Peak strain of ray " +
         ray + " over stance, a line a design; its numbers stand in the table below\">\n" + shapes +
         "</svg>\n<details><summary>The numbers, µε</summary><div class=\"wide\" tabindex=\"0\" "
         "role=\"group\" "
         "aria-label=\"Peak strain over stance\"><table><thead><tr><th scope=\"col\">Design</th>" +
         heads + "</tr></thead><tbody>\n" + rows + "</tbody></table></div></details>\n";
}

} // namespace raybend
