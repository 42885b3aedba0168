// Strain along every shaft as a chart.
#include "postprocess/canvas/axes.hpp"
#include "postprocess/pictures/charts.hpp"
#include "postprocess/pictures/design_lines.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/warnings.hpp"
#include "solver/forefoot/section_strain.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr double lowest_width = 2.4, highest_width = 1.3;

/// Places in `outcomes` of what can be drawn, in the order of the case.
std::vector<std::size_t> drawable(const ReportInput &input) {
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (input.outcomes[i].with.converged)
      places.push_back(i);
  return places;
}

/// The lowest (most compressed) or the highest strain round a cut, ue.
double side_strain(const StationResult &s, bool lowest) {
  const StrainRange range =
      strain_range({s.strain_dorsal, s.strain_plantar, s.strain_medial, s.strain_lateral});
  return lowest ? range.lowest : range.highest;
}

/// Round limits that hold every strain of every shaft, and zero.
std::array<double, 2> strain_limits(const ReportInput &input) {
  double low = 0, high = 0;
  for (std::size_t i : drawable(input))
    for (const RayResult &ray : input.outcomes[i].with.ray)
      for (const StationResult &s : ray.shaft)
        if (s.fraction >= shaft_from && s.fraction <= shaft_to)
          for (const bool lowest : {true, false})
            if (const double strain = side_strain(s, lowest); std::isfinite(strain)) {
              low = std::min(low, strain);
              high = std::max(high, strain);
            }
  if (low == high)
    return {-1, 1};
  const double room = 0.08 * (high - low);
  return {low < 0 ? low - room : 0, high > 0 ? high + room : 0};
}

void design_curve(Painter &p, const Axes &axes, const RayResult &ray, bool lowest, std::size_t design) {
  std::vector<Point2> data;
  for (const StationResult &s : ray.shaft)
    data.push_back({100 * s.fraction, side_strain(s, lowest)});
  axes.curve(p, data, {design_colour(design), lowest ? lowest_width : highest_width, design_dashes(design)});
  // Two markers a curve, each design at places of its own, so that no marker hides another design's.
  for (double at : {20.0 + 5 * design, 53.0 + 5 * design})
    for (std::size_t i = 0; i + 1 < data.size(); ++i)
      if (data[i][0] <= at && at < data[i + 1][0]) {
        const double t = (at - data[i][0]) / (data[i + 1][0] - data[i][0]);
        const double strain = data[i][1] + t * (data[i + 1][1] - data[i][1]);
        if (strain >= axes.y_low && strain <= axes.y_high)
          p.marker(design_marker(design), {axes.px(at), axes.py(strain)}, lowest ? 9 : 7,
                   design_colour(design));
      }
}

void ray_panel(Painter &p, const ReportInput &input, const Axes &axes, int r, bool first_column) {
  const std::array<double, 2> part = counted_part(input.foot, r);
  for (const auto &[from, to] : {std::array<double, 2>{0, 100 * part[0]}, {100 * part[1], 100}})
    p.box(axes.px(from), axes.y, axes.px(to) - axes.px(from), axes.h, Colour{240, 240, 240}, {});
  axes.horizontal_grid(p, 10, 14);
  axes.x_ticks(p, {0, 20, 40, 60, 80, 100}, 14);
  for (std::size_t i : drawable(input))
    for (bool lowest : {true, false})
      design_curve(p, axes, input.outcomes[i].with.ray[r - 1], lowest, i);
  axes.frame(p);
  const bool painful = is_painful(input.foot, r);
  p.text({axes.x, axes.y + axes.h + 13}, "Ray " + std::to_string(r) + (painful ? " (painful)" : ""),
         {15, Align::left, {30, 30, 30}, painful});
  p.text({axes.x + axes.w / 2, axes.y - 36}, "% of the way, base (0) to head's centre (100)",
         {14, Align::centre});
  if (first_column)
    p.text({axes.x - 58, axes.y + axes.h / 2}, "strain along the ray, microstrain",
           {14, Align::centre, {30, 30, 30}, false, 90});
}

void legend(Painter &p, const ReportInput &input, double x, double top, double w) {
  double y = top;
  const TextStyle plain{13};
  constexpr double line = 56, words = 64;
  p.text({x, y}, "Designs", {14, Align::left, {30, 30, 30}, true});
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    const DesignOutcome &o = input.outcomes[i];
    y -= 20;
    if (o.with.converged) {
      p.line({x, y}, {x + line, y}, {design_colour(i), lowest_width, design_dashes(i)});
      p.marker(design_marker(i), {x + line / 2, y}, 9, design_colour(i));
    }
    const std::vector<std::string> lines =
        design_lines(p, input, i, w - words, 3, plain, o.with.converged ? "" : " (not converged)");
    for (std::size_t k = 0; k < lines.size(); ++k)
      p.text({x + words, y -= (k == 0 ? 0 : 15)}, lines[k], plain);
  }
  y -= 25;
  const double half = w / 2 + 8;
  p.line({x, y}, {x + 36, y}, {{30, 30, 30}, lowest_width, {}});
  p.text({x + 44, y}, "thick: lowest strain", plain);
  p.line({x + half, y}, {x + half + 36, y}, {{30, 30, 30}, highest_width, {}});
  p.text({x + half + 44, y}, "thin: highest strain", plain);
  y -= 20;
  p.box(x, y - 7, 36, 14, Colour{240, 240, 240}, Stroke{{150, 150, 150}, 0.8, {}});
  p.text({x + 44, y}, "ends: not counted", plain);
  y -= 18;
  p.text({x, y}, "Strain round the bone; negative is compression.", plain);
}

} // namespace

Drawing shaft_strain_chart(const ReportInput &input) {
  return [&input](Painter &p) {
    p.title({30, p.height() - 26}, strain_title(input), p.width() - 60);
    p.text({30, p.height() - 52},
           p.fitted(picture_topic("Strain along the five metatarsals", input) + ".", p.width() - 60, {14}),
           {14});
    const std::array<double, 2> limits = strain_limits(input);
    const double panel_w = 300, panel_h = 262;
    for (int r = 1; r <= 5; ++r) {
      const int column = (r - 1) % 3, row = (r - 1) / 3;
      const Axes axes{88 + column * 374.0,
                      p.height() - 360 - row * 362.0,
                      panel_w,
                      panel_h,
                      0,
                      100,
                      limits[0],
                      limits[1]};
      ray_panel(p, input, axes, r, column == 0);
    }
    legend(p, input, 88 + 2 * 374.0 - 20, p.height() - 420, 340);
  };
}

} // namespace raybend
