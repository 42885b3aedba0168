// Tolerance, map and front.
#include "postprocess/best/best_pictures.hpp"
#include "postprocess/best/best_tables.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/study/study_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr Colour ink = {30, 30, 30}, dark = {70, 70, 70}, pale = {222, 222, 222}, white = {255, 255, 255};

/// What the painters below share.
struct Shown {
  const BestReport &report;
  const BestProblem &problem;
  const BestSearch &search;
  const BestAnalysis &analysis;

  const Candidate &best() const { return search.candidates[*analysis.shown]; }
  const BestInput &input(const std::size_t j) const { return problem.inputs[j]; }
};

void heading(Painter &p, const Shown &s, const std::string &title, const std::string &second) {
  p.title({30, p.height() - 26}, title, p.width() - 60);
  const std::string words = second + (s.report.coarse ? " Coarse resolution: a first look." : "");
  p.text({30, p.height() - 50}, p.fitted(words, p.width() - 60, {14}), {14});
}

/// On white, so that it stands out of any ground.
void best_marker(Painter &p, const Point2 at) {
  p.marker(Marker::diamond, at, 21, white);
  p.marker(Marker::diamond, at, 15, ink);
}

void solved_marker(Painter &p, const Candidate &c, const Point2 at) {
  p.marker(c.within() ? Marker::disc : Marker::cross, at, 9, white);
  p.marker(c.within() ? Marker::disc : Marker::cross, at, 7, dark);
}

struct Key {
  double x;
  double y;
  /// A mark and what it means; moves on to the right.
  void mark(Painter &p, const Marker marker, const double size, const std::string &words) {
    p.marker(marker, {x + 8, y}, size, marker == Marker::diamond ? ink : dark);
    say(p, 20, words);
  }
  void line(Painter &p, const Stroke &stroke, const std::string &words) {
    p.line({x, y}, {x + 30, y}, stroke);
    say(p, 36, words);
  }
  void box(Painter &p, const std::string &words) {
    p.box(x, y - 7, 24, 14, pale, Stroke{dark, 0.8, {}});
    say(p, 30, words);
  }

private:
  void say(Painter &p, const double indent, const std::string &words) {
    p.text({x + indent, y}, words, {14});
    x += indent + p.text_width(words, {14}) + 24;
  }
};

std::string rounded(const BestInput &input, const double x) {
  return fixed(x, std::max(0, static_cast<int>(std::lround(-std::log10(input.step)))));
}

StudyPicture tolerance_picture(const Shown &s) {
  const auto &flat = s.analysis.flat;
  const std::size_t columns = std::min<std::size_t>(3, flat.size()),
                    rows = (flat.size() + columns - 1) / columns;
  const double panel_w = columns == 1 ? 780 : columns == 2 ? 480 : 400, panel_h = 360;
  StudyPicture picture;
  picture.name = "tolerance";
  picture.width = static_cast<int>(std::max(860.0, 40 + columns * panel_w + 20));
  picture.height = static_cast<int>(84 + rows * panel_h + 70);
  picture.drawing = [=](Painter &p) {
    std::vector<std::string> parts;
    for (const FlatRange &r : s.analysis.flat) {
      const BestInput &input = s.input(r.input);
      parts.push_back(name_words(input) + " " + value_words(input, s.best().x[r.input]) + " (" +
                      rounded(input, r.low) + " to " + rounded(input, r.high) + ")");
    }
    heading(p, s, "Best: " + list_of(parts),
            "In brackets: what each may be alone. Curves: the " + s.report.aim_words +
                ", by the surrogate, microstrain.");
    double low = INFINITY, high = -INFINITY;
    for (const FlatRange &r : s.analysis.flat) {
      for (const FlatPoint &c : r.curve) {
        low = std::min(low, c.aim);
        high = std::max(high, c.aim);
      }
      for (const std::size_t i : r.solved) {
        low = std::min(low, s.search.candidates[i].aim);
        high = std::max(high, s.search.candidates[i].aim);
      }
    }
    const double most = s.best().aim * (1 + s.problem.tolerance);
    high = std::max(high, most);
    const double more = std::max(0.08 * (high - low), 1e-6 * high);
    low -= more;
    high += more;
    for (std::size_t k = 0; k < s.analysis.flat.size(); ++k) {
      const FlatRange &r = s.analysis.flat[k];
      const BestInput &input = s.input(r.input);
      const double left = 40 + (k % columns) * panel_w, top = p.height() - 76 - (k / columns) * panel_h;
      const double x_more = 0.03 * (input.high - input.low);
      const Axes axes{left + 62,          top - panel_h + 66,  panel_w - 88, panel_h - 80,
                      input.low - x_more, input.high + x_more, low,          high};
      p.box(axes.px(r.low), axes.y, axes.px(r.high) - axes.px(r.low), axes.h, pale, {});
      axes.horizontal_grid(p, 6, 13);
      axes.frame(p);
      axes.x_ticks(p, round_ticks(input.low, input.high, 6), 13);
      p.text({axes.x + axes.w / 2, axes.y - 36}, p.fitted(spoken_name(input.name), axes.w, {14}),
             {14, Align::centre});
      std::vector<Point2> part; // solid within the caps, dashed beyond
      for (std::size_t i = 0; i < r.curve.size(); ++i) {
        const bool over = r.curve[i].use > 1 + cap_slack;
        part.push_back({r.curve[i].x, r.curve[i].aim});
        if (i + 1 == r.curve.size() || (r.curve[i + 1].use > 1 + cap_slack) != over) {
          axes.curve(p, part,
                     {ink, over ? 1.2 : 2.4, over ? std::vector<double>{3, 3} : std::vector<double>{}});
          part = {part.back()};
        }
      }
      axes.curve(p, {{axes.x_low, most}, {axes.x_high, most}}, {dark, 1, {8, 4}});
      for (const std::size_t i : r.solved)
        if (i != *s.analysis.shown)
          solved_marker(p, s.search.candidates[i],
                        {axes.px(s.search.candidates[i].x[r.input]), axes.py(s.search.candidates[i].aim)});
      best_marker(p, {axes.px(s.best().x[r.input]), axes.py(s.best().aim)});
    }
    Key key{60, 46};
    key.mark(p, Marker::diamond, 13, "best, solved");
    key.mark(p, Marker::disc, 8, "solved");
    key.mark(p, Marker::cross, 8, "solved, over a cap");
    key.box(p, "may lie here");
    Key second{60, 20};
    second.line(p, {ink, 2.4, {}}, "within the caps");
    second.line(p, {ink, 1.2, {3, 3}}, "over a cap");
    second.line(p, {dark, 1, {8, 4}}, fixed(100 * s.problem.tolerance, 1) + " % above the best");
  };
  return picture;
}

StudyPicture map_picture(const Shown &s) {
  StudyPicture picture;
  picture.name = "map";
  picture.width = 960;
  picture.height = 740;
  picture.drawing = [=](Painter &p) {
    const BestMap &map = *s.analysis.map;
    const BestInput &xi = s.input(map.x_input), &yi = s.input(map.y_input);
    heading(p, s,
            "Least " + s.report.aim_words + (s.search.best ? ", caps kept: " : ", nearest to the caps: ") +
                fixed(s.best().aim) + " microstrain at " +
                place_words({xi, yi}, {s.best().x[map.x_input], s.best().x[map.y_input]}),
            "By the surrogate" +
                std::string(s.problem.inputs.size() > 2 ? ", the other inputs as in the best design" : "") +
                ". Striped: over a cap. Far from the marks it is a guess.");
    double low = INFINITY, high = -INFINITY;
    for (const double v : map.aim) {
      low = std::min(low, v);
      high = std::max(high, v);
    }
    if (const std::vector<double> ticks = round_ticks(low, high, 8); ticks.size() > 1) {
      const double step = ticks[1] - ticks[0]; // ends of the scale that read well
      low = step * std::floor(low / step);
      high = step * std::ceil(high / step);
    }
    const double more_x = 0.02 * (xi.high - xi.low), more_y = 0.02 * (yi.high - yi.low);
    const Axes axes{110,
                    130,
                    p.width() - 280,
                    p.height() - 220,
                    xi.low - more_x,
                    xi.high + more_x,
                    yi.low - more_y,
                    yi.high + more_y};
    const double x0 = axes.px(xi.low), y0 = axes.py(yi.low), w = (axes.px(xi.high) - x0) / map.x.size(),
                 h = (axes.py(yi.high) - y0) / map.y.size();
    for (std::size_t j = 0; j < map.y.size(); ++j)
      for (std::size_t i = 0; i < map.x.size(); ++i) {
        const std::size_t k = j * map.x.size() + i;
        const double x = x0 + i * w, y = y0 + j * h;
        const Colour fill = sequential_colour((map.aim[k] - low) / std::max(1e-300, high - low));
        p.box(x, y, w + 0.4, h + 0.4, fill, {});
        if (map.use[k] > 1)
          p.line({x, y}, {x + w, y + h}, {lightness(fill) > 55 ? ink : white, 1, {}});
      }
    axes.frame(p);
    axes.x_ticks(p, round_ticks(xi.low, xi.high, 8), 13);
    const std::vector<double> ticks = round_ticks(yi.low, yi.high, 8);
    for (const double t : ticks)
      p.text({axes.x - 8, axes.py(t)}, tick_text(t, ticks.size() > 1 ? ticks[1] - ticks[0] : 1),
             {13, Align::right});
    p.text({axes.x + axes.w / 2, axes.y - 38}, p.fitted(spoken_name(xi.name), axes.w, {14}),
           {14, Align::centre});
    p.text({46, axes.y + axes.h / 2}, p.fitted(spoken_name(yi.name), axes.h, {14}),
           {14, Align::centre, ink, false, 90});
    for (const Candidate &c : s.search.candidates) {
      bool here = c.solved; // the other inputs as in the best design, words at least
      for (std::size_t j = 0; j < c.x.size(); ++j)
        here &= s.input(j).between_limits() || c.x[j] == s.best().x[j];
      if (here && c.x != s.best().x)
        solved_marker(p, c, {axes.px(c.x[map.x_input]), axes.py(c.x[map.y_input])});
    }
    best_marker(p, {axes.px(s.best().x[map.x_input]), axes.py(s.best().x[map.y_input])});
    p.text({axes.x + axes.w + 36, axes.y + axes.h - 4}, "microstrain", {13});
    colour_bar(p, axes.x + axes.w + 36, axes.y, 24, axes.h - 20, low, high,
               [](double t) { return sequential_colour(t); });
    Key key{axes.x, 40};
    key.mark(p, Marker::diamond, 13, s.search.best ? "best, solved" : "nearest, solved");
    key.mark(p, Marker::disc, 8, "solved");
    key.mark(p, Marker::cross, 8, "solved, over a cap");
  };
  return picture;
}

StudyPicture front_picture(const Shown &s) {
  StudyPicture picture;
  picture.name = "front";
  picture.width = 900;
  picture.height = 700;
  picture.drawing = [=](Painter &p) {
    const Candidate &first = s.search.candidates[s.analysis.front.front()],
                    &last = s.search.candidates[s.analysis.front.back()];
    const std::string ray = "ray " + std::to_string(s.report.painful);
    heading(p, s,
            s.analysis.front.size() < 2
                ? "No trade: least strain in " + ray + " comes with least pressure under the other heads"
                : "The price: " + ray + " from " + fixed(last.aim) + " down to " + fixed(first.aim) +
                      " microstrain takes " + fixed(last.pressure) + " up to " + fixed(first.pressure) +
                      " kPa under another head",
            "Each mark a solved design whose heads bear their part" +
                std::string(s.search.best ? "; fronts: of those within the caps." : "."));
    double x_low = s.report.at_reference.pressure, x_high = x_low, y_low = s.report.at_reference.aim,
           y_high = y_low;
    const auto take = [&](const double x, const double y) {
      x_low = std::min(x_low, x);
      x_high = std::max(x_high, x);
      y_low = std::min(y_low, y);
      y_high = std::max(y_high, y);
    };
    for (const Candidate &c : s.search.candidates)
      if (c.solved && c.use.back() <= 1)
        take(c.pressure, c.aim);
    const double dx = std::max(1.0, 0.06 * (x_high - x_low)), dy = std::max(1.0, 0.06 * (y_high - y_low));
    const Axes axes{110,        130,         p.width() - 150, p.height() - 220,
                    x_low - dx, x_high + dx, y_low - dy,      y_high + dy};
    axes.horizontal_grid(p, 7, 13);
    axes.frame(p);
    axes.x_ticks(p, round_ticks(axes.x_low, axes.x_high, 8), 13);
    p.text({axes.x + axes.w / 2, axes.y - 38}, "peak pressure under the worst head of another ray, kPa",
           {14, Align::centre});
    p.text({40, axes.y + axes.h / 2}, p.fitted(s.report.aim_words + ", microstrain", axes.h, {14}),
           {14, Align::centre, ink, false, 90});
    std::vector<Point2> line;
    for (const auto &f : s.analysis.foretold_front)
      line.push_back({f[1], f[0]});
    axes.curve(p, line, {dark, 1.2, {6, 4}});
    line.clear();
    for (const std::size_t i : s.analysis.front) { // a step: nothing between two of them is solved
      const Candidate &c = s.search.candidates[i];
      if (!line.empty())
        line.push_back({line.back()[0], c.aim});
      line.push_back({c.pressure, c.aim});
    }
    axes.curve(p, line, {ink, 1.8, {}});
    for (const Candidate &c : s.search.candidates)
      if (c.solved && c.use.back() <= 1 && c.x != s.best().x)
        solved_marker(p, c, {axes.px(c.pressure), axes.py(c.aim)});
    p.marker(Marker::triangle, {axes.px(s.report.at_reference.pressure), axes.py(s.report.at_reference.aim)},
             13, dark);
    if (s.best().use.back() <= 1)
      best_marker(p, {axes.px(s.best().pressure), axes.py(s.best().aim)});
    Key key{axes.x, 46};
    key.mark(p, Marker::diamond, 13, s.search.best ? "best" : "nearest to the caps");
    key.mark(p, Marker::disc, 8, "within the caps");
    key.mark(p, Marker::cross, 8, "over a cap");
    key.mark(p, Marker::triangle, 11, "reference " + p.fitted(s.report.reference, 200, {14}));
    Key second{axes.x, 20};
    second.line(p, {ink, 1.8, {}}, "front of the solved designs");
    second.line(p, {dark, 1.2, {6, 4}}, "front by the surrogate");
  };
  return picture;
}

} // namespace

std::vector<StudyPicture> best_pictures(const BestReport &report, const BestProblem &problem,
                                        const BestSearch &search, const BestAnalysis &analysis) {
  const Shown s{report, problem, search, analysis};
  std::vector<StudyPicture> list;
  if (!analysis.flat.empty())
    list.push_back(tolerance_picture(s));
  if (analysis.map)
    list.push_back(map_picture(s));
  if (!analysis.front.empty())
    list.push_back(front_picture(s));
  return list;
}

} // namespace raybend
