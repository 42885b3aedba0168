// Charts of the comparison: strain along every shaft, peak bending stress with and without support elements.
#include "postprocess/pictures/charts.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/pictures/design_lines.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

struct Bar {
  std::size_t design;
  bool hollow; ///< without the support elements
};

/// The bars of one ray's group, from left to right.
std::vector<Bar> group_bars(const ReportInput &input) {
  std::vector<Bar> bars;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    const DesignOutcome &o = input.outcomes[i];
    if (o.with.converged)
      bars.push_back({i, false});
    if (o.has_support() && o.without.converged)
      bars.push_back({i, true});
  }
  return bars;
}

const Banded &stress(const ReportInput &input, const Bar &bar, int r) {
  const DesignOutcome &o = input.outcomes[bar.design];
  return (bar.hollow ? o.without : o.with).ray[r - 1].peak_bending_stress;
}

void draw_bar(Painter &p, const Axes &axes, double left, double width, const Banded &stress, const Bar &bar) {
  const Colour colour = design_colour(bar.design);
  const double bottom = axes.py(0), top = axes.py(std::isfinite(stress.value) ? stress.value : 0);
  p.box(left, bottom, width, top - bottom, bar.hollow ? Colour{255, 255, 255} : colour,
        Stroke{colour, 2, {}});
  if (!std::isfinite(stress.value) || !(stress.band > 0))
    return;
  // A whisker that shows on black and on white: dark on a light edge.
  const double x = left + width / 2, low = axes.py(std::max(0.0, stress.value - stress.band)),
               high = axes.py(stress.value + stress.band), cap = std::min(4.0, width / 3);
  for (const Stroke &s : {Stroke{{255, 255, 255}, 3.4, {}}, Stroke{{60, 60, 60}, 1.4, {}}}) {
    p.line({x, low}, {x, high}, s);
    p.line({x - cap, low}, {x + cap, low}, s);
    p.line({x - cap, high}, {x + cap, high}, s);
  }
}

void legend(Painter &p, const ReportInput &input, double x, double y, double w) {
  const TextStyle style{14};
  const double column = w / 3;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    const DesignOutcome &o = input.outcomes[i];
    const double left = x + (i % 3) * column, at = y - 54.0 * (i / 3);
    p.box(left, at - 7, 22, 14, design_colour(i), Stroke{design_colour(i), 2, {}});
    if (o.has_support())
      p.box(left + 27, at - 7, 22, 14, Colour{255, 255, 255}, Stroke{design_colour(i), 2, {}});
    const double words = o.has_support() ? 58 : 31;
    const auto lines =
        design_lines(p, input, i, column - words - 12, 3, style, o.with.converged ? "" : " (not converged)");
    for (std::size_t k = 0; k < lines.size(); ++k)
      p.text({left + words, at - 17.0 * k}, lines[k], style);
  }
}

void all_bars(Painter &p, const ReportInput &input, const Axes &axes) {
  const std::vector<Bar> bars = group_bars(input);
  const double group = axes.w / 5, gap = 0.14 * group;
  // A little more room between designs than between the two bars of one.
  std::size_t designs = 0;
  for (const Bar &b : bars)
    designs += !b.hollow || (&b == &bars.front() || (&b - 1)->design != b.design);
  const double slot = (group - gap) / (bars.size() + 0.35 * designs), width = std::min(0.84 * slot, 46.0);
  const double used = slot * (bars.size() + 0.35 * designs);
  for (int r = 1; r <= 5; ++r) {
    double left = axes.x + (r - 1) * group + (group - used) / 2;
    for (std::size_t b = 0; b < bars.size(); ++b) {
      if (b == 0 || bars[b - 1].design != bars[b].design) {
        left += 0.175 * slot;
        const bool pair = b + 1 < bars.size() && bars[b + 1].design == bars[b].design;
        p.text({left + (pair ? slot : slot / 2), axes.y - 12}, design_letter(bars[b].design),
               {13, Align::centre});
      }
      draw_bar(p, axes, left + (slot - width) / 2, width, stress(input, bars[b], r), bars[b]);
      left += slot;
      if (b + 1 == bars.size() || bars[b + 1].design != bars[b].design)
        left += 0.175 * slot;
    }
    const bool painful = is_painful(input.foot, r);
    p.text({axes.x + (r - 0.5) * group, axes.y - 32},
           "Ray " + std::to_string(r) + (painful ? " (painful)" : ""),
           {15, Align::centre, {30, 30, 30}, painful});
    if (r > 1)
      p.line({axes.x + (r - 1) * group, axes.y}, {axes.x + (r - 1) * group, axes.y - 40},
             {{190, 190, 190}, 1, {}});
  }
}

} // namespace

Drawing bending_stress_chart(const ReportInput &input) {
  return [&input](Painter &p) {
    p.title({30, p.height() - 26}, bending_title(input), p.width() - 60);
    const std::string support = support_words(input);
    const auto about =
        p.lines(picture_topic("Peak bending stress of each metatarsal", input) +
                    (support.empty() ? ". " : ". " + support + " ") +
                    "Filled: design as given. Hollow: the same insole without its support elements. "
                    "Whiskers: what the mesh leaves open. Sagittal and transverse bending taken "
                    "together; the axial part is left out.",
                p.width() - 60, 3, {14});
    for (std::size_t k = 0; k < about.size(); ++k)
      p.text({30, p.height() - 50 - 17.0 * k}, about[k], {14});
    double highest = 0;
    for (const Bar &bar : group_bars(input))
      for (int r = 1; r <= 5; ++r) {
        const Banded &s = stress(input, bar, r);
        if (std::isfinite(s.value + s.band))
          highest = std::max(highest, s.value + s.band);
      }
    const Axes axes{88, 178, p.width() - 118, p.height() - 281, 0, 5, 0, round_up(1.02 * highest)};
    axes.horizontal_grid(p, 8, 14);
    all_bars(p, input, axes);
    axes.frame(p);
    p.text({axes.x - 52, axes.y + axes.h / 2}, "peak bending stress, MPa",
           {14, Align::centre, {30, 30, 30}, false, 90});
    legend(p, input, axes.x, 106, axes.w);
  };
}

std::vector<std::string> write_chart(const Drawing &drawing, const std::string &folder,
                                     const std::string &name) {
  write_png(drawing, chart_width, chart_height, folder + "/" + name + ".png");
  write_svg(drawing, chart_width, chart_height, folder + "/" + name + ".svg");
  return {name + ".png", name + ".svg"};
}

std::vector<std::string> write_charts(const ReportInput &input, const std::string &folder,
                                      const std::string &ending) {
  std::vector<std::string> names = write_chart(shaft_strain_chart(input), folder, "shaft-strain" + ending);
  for (const std::string &name : write_chart(bending_stress_chart(input), folder, "bending-stress" + ending))
    names.push_back(name);
  return names;
}

} // namespace raybend
