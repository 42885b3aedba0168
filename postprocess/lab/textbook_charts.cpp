// Pictures of a textbook case: convergence of its quantities, computed curves over their closed forms.
#include "postprocess/lab/textbook_charts.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/lab/textbook_tables.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr int chart_w = 900, chart_h = 600;
constexpr std::size_t most_lines = 6;

void heading(Painter &p, const TextbookResult &r, const std::string &words) {
  const TextStyle bold{19, Align::left, {20, 20, 20}, true}, plain{13};
  p.text({30, p.height() - 26}, p.fitted(r.name + ": " + one_line(r.title), p.width() - 60, bold), bold);
  p.text({30, p.height() - 50}, p.fitted(words, p.width() - 60, plain), plain);
}

std::string power_text(int n) {
  return n >= 0 && n < 7 ? fixed(std::pow(10, n)) : "1e" + std::to_string(n);
}

/// Grid and numbers at powers of ten on axes that hold logarithms.
void decades(Painter &p, const Axes &a) {
  const auto step = [](double low, double high) { return std::max(1, int(std::ceil((high - low) / 8))); };
  for (int n = std::ceil(a.y_low); n <= a.y_high; n += step(a.y_low, a.y_high)) {
    p.line({a.x, a.py(n)}, {a.x + a.w, a.py(n)}, {{225, 225, 225}, 1, {}});
    p.text({a.x - 8, a.py(n)}, power_text(n), {12, Align::right});
  }
  for (int n = std::ceil(a.x_low); n <= a.x_high; ++n) {
    p.line({a.px(n), a.y}, {a.px(n), a.y + a.h}, {{225, 225, 225}, 1, {}});
    p.text({a.px(n), a.y - 14}, power_text(n), {12, Align::centre});
  }
  a.frame(p);
}

} // namespace

Drawing convergence_chart(const TextbookResult &r) {
  return [&r](Painter &p) {
    heading(p, r, "Difference from the reference over the number of unknowns");
    struct Line {
      std::string name;
      std::vector<Point2> points;
      double limit;
    };
    std::vector<Line> lines;
    double x_low = 1e300, x_high = -1e300, y_low = 1e300, y_high = -1e300;
    const auto widen = [](double v, double &low, double &high) {
      low = std::min(low, v);
      high = std::max(high, v);
    };
    for (std::size_t i = 0; i < r.quantities.size() && lines.size() < most_lines; ++i) {
      const TextbookQuantity &q = r.quantities[i];
      if (!q.decides)
        continue;
      const double scale = q.tolerance > 0 || q.reference == 0 ? 1 : std::abs(q.reference) / 100;
      Line line{one_line(q.name) + (scale == 1 ? (q.unit.empty() ? "" : ", " + q.unit) : ", %"),
                {},
                q.tolerance > 0 ? q.tolerance : q.tolerance_percent};
      for (const TextbookLevel &l : r.levels) {
        const double e = std::abs(l.values[i] - q.reference) / scale;
        if (!(e > 0) || !std::isfinite(e))
          continue;
        line.points.push_back(
            {std::log10(double(std::max(1ul, l.unknowns))), std::log10(std::max(e, 1e-14))});
        widen(line.points.back()[0], x_low, x_high);
        widen(line.points.back()[1], y_low, y_high);
      }
      if (line.limit > 0)
        widen(std::log10(line.limit), y_low, y_high);
      lines.push_back(line);
    }
    if (x_low > x_high) {
      p.text({30, p.height() / 2}, "All differences are zero or not known.", {14});
      return;
    }
    Axes axes{90,
              150,
              chart_w - 130.0,
              chart_h - 240.0,
              std::floor(x_low),
              std::ceil(x_high),
              std::floor(y_low),
              std::ceil(y_high)};
    axes.x_high = std::max(axes.x_high, axes.x_low + 1);
    axes.y_high = std::max(axes.y_high, axes.y_low + 1);
    decades(p, axes);
    p.text({axes.x + axes.w / 2, axes.y - 34}, "unknowns", {13, Align::centre});
    p.text({26, axes.y + axes.h / 2}, "difference (%, or the unit named)",
           {13, Align::centre, {30, 30, 30}, false, 90});
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const Colour colour = design_colour(i);
      axes.curve(p, lines[i].points, {colour, 2, design_dashes(i)});
      for (const Point2 &at : lines[i].points)
        p.marker(design_marker(i), {axes.px(at[0]), axes.py(at[1])}, 9, colour);
      if (lines[i].limit > 0) {
        const double y = axes.py(std::log10(lines[i].limit));
        p.line({axes.x + axes.w - 60, y}, {axes.x + axes.w, y}, {colour, 3, {}});
      }
      const double left = 40 + (i % 2) * (chart_w / 2.0 - 20), at = 90 - 24.0 * (i / 2);
      p.line({left, at}, {left + 40, at}, {colour, 2, design_dashes(i)});
      p.marker(design_marker(i), {left + 20, at}, 9, colour);
      p.text({left + 48, at}, p.fitted(lines[i].name, chart_w / 2.0 - 90, {13}), {13});
    }
    p.text({40, 18}, "Short bars at the right edge: tolerances.", {12, Align::left, {90, 90, 90}});
  };
}

Drawing curve_chart(const TextbookResult &r, const TextbookCurve &c) {
  return [&r, &c](Painter &p) {
    heading(p, r, one_line(c.title));
    double x_low = 1e300, x_high = -1e300, y_low = 1e300, y_high = -1e300;
    for (std::size_t i = 0; i < c.x.size(); ++i)
      for (const auto *list : {&c.computed, &c.closed_form})
        if (i < list->size() && std::isfinite((*list)[i]) && std::isfinite(c.x[i])) {
          x_low = std::min(x_low, c.x[i]);
          x_high = std::max(x_high, c.x[i]);
          y_low = std::min(y_low, (*list)[i]);
          y_high = std::max(y_high, (*list)[i]);
        }
    if (!(x_high > x_low)) {
      p.text({30, p.height() / 2}, "Nothing to draw.", {14});
      return;
    }
    const double room = y_high > y_low ? 0.08 * (y_high - y_low) : std::max(1e-12, 0.1 * std::abs(y_high));
    const Axes axes{110, 120, chart_w - 150.0, chart_h - 210.0, x_low, x_high, y_low - room, y_high + room};
    for (const double t : round_ticks(axes.y_low, axes.y_high, 6)) {
      p.line({axes.x, axes.py(t)}, {axes.x + axes.w, axes.py(t)}, {{225, 225, 225}, 1, {}});
      p.text({axes.x - 8, axes.py(t)}, six_digits(std::abs(t) < 1e-9 * (axes.y_high - axes.y_low) ? 0 : t),
             {12, Align::right});
    }
    for (const double t : round_ticks(axes.x_low, axes.x_high, 6)) {
      p.line({axes.px(t), axes.y}, {axes.px(t), axes.y - 5}, {{60, 60, 60}, 1, {}});
      p.text({axes.px(t), axes.y - 16}, six_digits(std::abs(t) < 1e-9 * (axes.x_high - axes.x_low) ? 0 : t),
             {12, Align::centre});
    }
    axes.frame(p);
    p.text({axes.x + axes.w / 2, axes.y - 38}, one_line(c.x_label), {13, Align::centre});
    p.text({24, axes.y + axes.h / 2}, one_line(c.y_label), {13, Align::centre, {30, 30, 30}, false, 90});
    std::vector<Point2> closed;
    for (std::size_t i = 0; i < c.closed_form.size(); ++i)
      closed.push_back({c.x[i], c.closed_form[i]});
    axes.curve(p, closed, {{120, 120, 120}, 3, {}});
    for (std::size_t i = 0; i < c.computed.size(); ++i)
      if (std::isfinite(c.computed[i]))
        p.marker(Marker::disc, {axes.px(c.x[i]), axes.py(c.computed[i])}, 7, design_colour(0));
    p.marker(Marker::disc, {130, 40}, 7, design_colour(0));
    p.text({142, 40}, "computed, finest level", {13});
    if (!closed.empty()) {
      p.line({340, 40}, {380, 40}, {{120, 120, 120}, 3, {}});
      p.text({390, 40}, "reference", {13});
    }
  };
}

std::vector<std::string> write_textbook_charts(const TextbookResult &r, const std::string &folder) {
  std::vector<std::string> files;
  const auto both = [&](const Drawing &drawing, const std::string &stem) {
    write_png(drawing, chart_w, chart_h, folder + "/" + stem + ".png");
    write_svg(drawing, chart_w, chart_h, folder + "/" + stem + ".svg");
    files.push_back(stem + ".png");
    files.push_back(stem + ".svg");
  };
  if (r.levels.empty())
    return files;
  both(convergence_chart(r), r.name + "-convergence");
  for (std::size_t i = 0; i < r.curves.size(); ++i)
    both(curve_chart(r, r.curves[i]), r.name + "-curve-" + std::to_string(i + 1));
  return files;
}

} // namespace raybend
