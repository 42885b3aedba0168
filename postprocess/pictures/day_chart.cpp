// Chart of a day of several activities: the painful ray's strain in each, and what all together amount to.
#include "postprocess/pictures/day_chart.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/pictures/design_lines.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/day_answer.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr Colour ink = {30, 30, 30}, bar_fill = {205, 205, 205};

void whisker(Painter &p, const Axes &axes, const double x, const double low, const double high,
             const Colour colour) {
  const double y_low = axes.py(std::max(0.0, low)), y_high = axes.py(high), cap = 5;
  p.line({x, y_low}, {x, y_high}, {colour, 1.6, {}});
  p.line({x - cap, y_low}, {x + cap, y_low}, {colour, 1.6, {}});
  p.line({x - cap, y_high}, {x + cap, y_high}, {colour, 1.6, {}});
}

/// Lowest and highest end of the day-equivalent strain: nine in ten over patient, model and mesh where chances of the day are known, on
/// the reference's strain; otherwise the bands.
std::array<double, 2> reach(const DayInput &input, const DayDesign &d, const DayStrain &reference) {
  if (const auto ends = whole_doubt(input.common(), d.place, reference.strain[one_law].value);
      ends && input.common().sure->of_day)
    return *ends;
  const DayStrain &s = d.with;
  std::array<double, 2> ends = {s.strain[0].value, s.strain[0].value};
  for (const Banded &b : s.strain) {
    ends[0] = std::min(ends[0], b.value - b.band);
    ends[1] = std::max(ends[1], b.value + b.band);
  }
  return ends;
}

void equivalent_bar(Painter &p, const Axes &axes, const double x, const double width, const DayStrain &s,
                    const std::array<double, 2> &ends) {
  whisker(p, axes, x, ends[0], ends[1], ink);
  // A mean of higher power is the larger one: the first exponent is the lower end.
  const double low = axes.py(s.strain.front().value), high = axes.py(s.strain.back().value);
  p.box(x - width / 2, low, width, std::max(1.0, high - low), bar_fill, Stroke{ink, 1.2, {}});
  for (const Banded &b : s.strain)
    p.line({x - width / 2, axes.py(b.value)}, {x + width / 2, axes.py(b.value)}, {ink, 2, {}});
}

void group(Painter &p, const DayInput &input, const DayDesign &d, const DayStrain &reference,
           const Axes &axes, const double left, const double width) {
  const std::size_t slots = input.activities.size() + 1;
  const double slot = std::min(44.0, 0.86 * width / slots);
  double x = left + (width - slot * (slots - 1)) / 2;
  for (std::size_t i = 0; i + 1 < slots; ++i, x += slot) {
    const ReportInput &a = input.activities[i];
    const DesignResult &result = a.outcomes[d.place].with;
    if (!result.converged)
      continue;
    const Banded strain = result.ray[a.foot.painful_ray - 1].peak_strain;
    const Colour colour = design_colour(i);
    whisker(p, axes, x, strain.value - strain.band, strain.value + strain.band, colour);
    p.marker(design_marker(i), {x, axes.py(strain.value)}, 13, colour);
  }
  if (d.with.known)
    equivalent_bar(p, axes, x, std::min(30.0, 0.8 * slot), d.with, reach(input, d, reference));
  const TextStyle style{14, Align::centre};
  const auto lines = design_lines(p, input.common(), d.place, width - 10, 3, style);
  for (std::size_t k = 0; k < lines.size(); ++k)
    p.text({left + width / 2, axes.y - 16 - 16.0 * k}, lines[k], style);
  if (!d.with.known)
    p.text({left + width / 2, axes.y - 16 - 16.0 * lines.size()}, "(not converged)", style);
}

void legend(Painter &p, const DayInput &input, const double x, const double top, const double w) {
  const TextStyle style{14};
  const double column = w / 2;
  std::size_t at = 0;
  const auto place = [&] {
    const Point2 c = {x + (at % 2) * column, top - 24.0 * (at / 2)};
    ++at;
    return c;
  };
  for (std::size_t i = 0; i < input.activities.size(); ++i) {
    const DayActivity &a = input.activities[i].activity;
    const Point2 c = place();
    p.marker(design_marker(i), {c[0] + 10, c[1]}, 13, design_colour(i));
    const std::string steps = a.cycles() > 0        ? fixed(a.cycles()) + " steps of one foot"
                              : a.hours_per_day > 0 ? "no steps: not in the day's sum"
                                                    : "not in the day's sum";
    const std::string amount = ", " + exact(a.hours_per_day) + " h, " + steps;
    p.text({c[0] + 28, c[1]}, p.fitted(spoken(a), column - 36 - p.text_width(amount, style), style) + amount,
           style);
  }
  std::string exponents;
  for (const FatigueLaw &law : fatigue_laws)
    exponents += (exponents.empty() ? "" : ", ") + fixed(law.exponent, 1);
  const Point2 c = place();
  p.box(c[0], c[1] - 7, 20, 14, bar_fill, Stroke{ink, 1.2, {}});
  p.text({c[0] + 28, c[1]},
         p.fitted("day-equivalent strain, lines at m = " + exponents + " from below", column - 36, style),
         style);
}

} // namespace

Drawing day_chart(const DayInput &input, const DayRanking &day) {
  return [&input, &day](Painter &p) {
    const std::string ray = "ray " + std::to_string(input.common().foot.painful_ray);
    p.title({30, p.height() - 26}, day_title(input, day), p.width() - 60);
    const TextStyle second{14};
    p.text({30, p.height() - 50},
           "Peak strain of " + ray + " in each activity and over the day; magnitudes. Whiskers: " +
               (input.common().has_chances() && input.common().sure->of_day
                    ? "mesh; over the day patient, model and mesh, nine in ten."
                    : "what the mesh leaves open.") +
               " Designs from the left by rank.",
           second);
    p.text({30, p.height() - 67}, p.fitted(order_words(input, day, design_letter), p.width() - 60, second),
           second);
    const DayStrain &reference = day.of(reference_place(input.common())).with;
    double highest = 0;
    for (const DayDesign &d : day.designs) {
      for (const ReportInput &a : input.activities)
        if (const DesignResult &result = a.outcomes[d.place].with; result.converged) {
          const Banded strain = result.ray[a.foot.painful_ray - 1].peak_strain;
          highest = std::max(highest, strain.value + strain.band);
        }
      if (d.with.known)
        highest = std::max(highest, reach(input, d, reference)[1]);
    }
    const Axes axes{88, 196, p.width() - 118, p.height() - 282, 0, 1, 0, round_up(1.02 * highest)};
    axes.horizontal_grid(p, 8, 14);
    const double width = axes.w / day.designs.size();
    for (std::size_t i = 0; i < day.designs.size(); ++i) {
      const double left = axes.x + i * width;
      if (i > 0)
        p.line({left, axes.y - 50}, {left, axes.y + axes.h}, {{190, 190, 190}, 1, {}});
      group(p, input, day.designs[i], reference, axes, left, width);
    }
    axes.frame(p);
    p.text({axes.x - 58, axes.y + axes.h / 2}, "peak strain of " + ray + ", microstrain",
           {14, Align::centre, ink, false, 90});
    legend(p, input, axes.x, 104, axes.w);
  };
}

} // namespace raybend
