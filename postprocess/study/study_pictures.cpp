// Response curves, tornado, index bars, heat map.
#include "postprocess/study/study_pictures.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/study/study_words.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>

namespace raybend {

namespace {

constexpr Colour ink = {30, 30, 30}, dark = {70, 70, 70}, pale = {205, 205, 205}, white = {255, 255, 255};
constexpr std::size_t most_shown = 12; ///< inputs in a picture
constexpr double row = 26;

using Group = std::vector<std::size_t>;

std::string short_number(const double x) {
  char text[32];
  std::snprintf(text, sizeof text, std::abs(x) >= 1000 && std::abs(x) < 1e6 ? "%.0f" : "%.4g", x);
  return text;
}

void heading(Painter &p, const StudyData &data, const std::string &title, const std::string &second) {
  p.title({30, p.height() - 26}, title, p.width() - 60);
  const std::string words =
      second +
      (data.coarse ? std::string(second.empty() ? "" : " ") + "Coarse resolution: a first look." : "");
  p.text({30, p.height() - 50}, p.fitted(words, p.width() - 60, {14}), {14});
}

// ---- response curves

struct Range {
  double low = INFINITY, high = -INFINITY;
  void take(const double x) {
    if (std::isfinite(x)) {
      low = std::min(low, x);
      high = std::max(high, x);
    }
  }
  void widen(const double part) {
    const double more = high > low ? part * (high - low) : std::max(1e-9, 0.05 * std::abs(high));
    low -= more;
    high += more;
  }
};

void draw_curve(Painter &p, const Axes &axes, const ResponseCurve &curve, const std::size_t number,
                const std::size_t of) {
  const Colour colour = design_colour(number);
  std::vector<Point2> line, low, high;
  for (const CurvePoint &c : curve.points) {
    line.push_back({c.x, c.y});
    low.push_back({c.x, c.low});
    high.push_back({c.x, c.high});
  }
  axes.curve(p, line, {colour, 2, design_dashes(number)});
  const bool dense = curve.points.size() > 12;
  if (dense) {
    axes.curve(p, low, {colour, 0.8, {2, 3}});
    axes.curve(p, high, {colour, 0.8, {2, 3}});
  }
  for (std::size_t k = 0; k < curve.points.size() && !dense; ++k) {
    const CurvePoint &c = curve.points[k];
    const double x = axes.px(c.x) + 4 * (number - (of - 1) / 2.0); // bands side by side
    if (c.high > c.low) {
      p.line({x, axes.py(c.low)}, {x, axes.py(c.high)}, {colour, 1.2, {}});
      for (const double end : {c.low, c.high})
        p.line({x - 3, axes.py(end)}, {x + 3, axes.py(end)}, {colour, 1.2, {}});
    }
    p.marker(design_marker(number), {axes.px(c.x), axes.py(c.y)}, 8, colour);
  }
}

void design_legend(Painter &p, const StudyData &data, const Group &group, const double x, const double y,
                   const double w) {
  const double column = w / 3;
  for (std::size_t k = 0; k < group.size(); ++k) {
    const Point2 at = {x + (k % 3) * column, y - 22.0 * (k / 3)};
    p.line(at, {at[0] + 36, at[1]}, {design_colour(k), 2, design_dashes(k)});
    p.marker(design_marker(k), {at[0] + 18, at[1]}, 8, design_colour(k));
    p.text({at[0] + 44, at[1]}, p.fitted(data.series[group[k]].design, column - 60, {14}), {14});
  }
}

StudyPicture curves_picture(const StudyData &data, const StudyAnalysis &analysis, const Group &group) {
  const std::size_t inputs = std::min(data.inputs.size(), most_shown),
                    columns = std::min<std::size_t>(3, inputs), rows = (inputs + columns - 1) / columns;
  const double legend = 22.0 * ((group.size() + 2) / 3) + 16, panel_w = columns == 1 ? 760 : 400,
               panel_h = 320;
  StudyPicture picture;
  picture.name = "curves";
  picture.width = static_cast<int>(std::max(820.0, 40 + columns * panel_w + 20));
  picture.height = static_cast<int>(84 + rows * panel_h + legend);
  picture.drawing = [=, &data, &analysis](Painter &p) {
    std::string band;
    Range y;
    for (const ResponseCurve &c : analysis.curves)
      if (std::find(group.begin(), group.end(), c.series) != group.end())
        for (const CurvePoint &point : c.points) {
          y.take(point.low);
          y.take(point.high);
          band = c.band;
        }
    y.widen(0.06);
    const std::string words = series_words(data, data.series[group.front()]);
    heading(p, data, "Response: " + words, "Band: " + band + ".");
    for (std::size_t j = 0; j < inputs; ++j) {
      const double left = 40 + (j % columns) * panel_w, top = p.height() - 76 - (j / columns) * panel_h;
      Range x;
      for (const ResponseCurve &c : analysis.curves)
        if (c.input == j && std::find(group.begin(), group.end(), c.series) != group.end())
          for (const CurvePoint &point : c.points)
            x.take(point.x);
      if (!(x.low <= x.high))
        continue;
      x.widen(0.05);
      const Axes axes{left + 62, top - panel_h + 66, panel_w - 88, panel_h - 80, x.low, x.high, y.low,
                      y.high};
      axes.horizontal_grid(p, 6, 13);
      axes.frame(p);
      const StudyInput &input = data.inputs[j];
      if (input.words.empty())
        axes.x_ticks(p, round_ticks(x.low, x.high, 5), 13);
      else
        for (std::size_t k = 0; k < input.words.size(); ++k)
          p.text({axes.px(k), axes.y - 14}, p.fitted(input.words[k], axes.w / input.words.size() - 6, {13}),
                 {13, Align::centre});
      p.text({axes.x + axes.w / 2, axes.y - 36}, p.fitted(spoken_name(input.name), axes.w, {14}),
             {14, Align::centre});
      for (std::size_t k = 0; k < group.size(); ++k)
        for (const ResponseCurve &c : analysis.curves)
          if (c.series == group[k] && c.input == j)
            draw_curve(p, axes, c, k, group.size());
    }
    design_legend(p, data, group, 60, legend - 10, p.width() - 80);
  };
  return picture;
}

// ---- bars, a panel a design

struct BarPanels {
  double top, left, width, height; ///< of the first; the others follow below
};

StudyPicture tornado_picture(const StudyData &data, const StudyAnalysis &analysis, const Group &group) {
  const std::size_t bars = std::min(data.inputs.size(), most_shown);
  const double panel = row * bars + 74;
  StudyPicture picture;
  picture.name = "tornado";
  picture.width = 980;
  picture.height = static_cast<int>(70 + panel * group.size());
  picture.drawing = [=, &data, &analysis](Painter &p) {
    heading(p, data, "What each input alone moves: " + series_words(data, data.series[group.front()]),
            std::string("Least and largest of its curve") + (data.plan == StudyPlan::one_at_a_time
                                                                 ? "; the line is the base."
                                                                 : "; the line is the mean."));
    Range x;
    for (const Tornado &t : analysis.tornados)
      if (std::find(group.begin(), group.end(), t.series) != group.end())
        for (const Swing &s : t.swings) {
          x.take(s.low);
          x.take(s.high);
        }
    x.widen(0.3); // room for the numbers
    for (std::size_t k = 0; k < group.size(); ++k)
      for (const Tornado &t : analysis.tornados) {
        if (t.series != group[k])
          continue;
        const double top = p.height() - 68 - k * panel;
        p.text({30, top - 12}, p.fitted(data.series[t.series].design, 400, {15}),
               {15, Align::left, ink, true});
        const Axes axes{300, top - 28 - row * bars, p.width() - 340, row * bars, x.low, x.high, 0, 1};
        axes.x_ticks(p, round_ticks(x.low, x.high, 6), 13);
        axes.frame(p);
        for (std::size_t b = 0; b < std::min(bars, t.swings.size()); ++b) {
          const Swing &s = t.swings[b];
          const StudyInput &input = data.inputs[s.input];
          const double y = axes.y + axes.h - row * (b + 0.5);
          p.text({axes.x - 8, y}, p.fitted(spoken_name(input.name), axes.x - 46, {14}), {14, Align::right});
          p.box(axes.px(s.low), y - 8, axes.px(s.high) - axes.px(s.low), 16, pale, Stroke{ink, 1, {}});
          const double room = 0.19 * axes.w;
          p.text({axes.px(s.low) - 5, y}, p.fitted(input_value(input, s.at_low), room, {13}),
                 {13, Align::right});
          p.text({axes.px(s.high) + 5, y}, p.fitted(input_value(input, s.at_high), room, {13}), {13});
        }
        p.line({axes.px(t.middle), axes.y}, {axes.px(t.middle), axes.y + axes.h}, {ink, 1.6, {5, 3}});
      }
  };
  return picture;
}

void index_bar(Painter &p, const Axes &axes, const double y, const double h, const double value,
               const double low, const double high, const Colour fill) {
  p.box(axes.px(0), y - h / 2, axes.px(value) - axes.px(0), h, fill, Stroke{ink, 1, {}});
  for (const Stroke &s : {Stroke{white, 3, {}}, Stroke{ink, 1.2, {}}}) {
    p.line({axes.px(low), y}, {axes.px(high), y}, s);
    for (const double end : {low, high})
      p.line({axes.px(end), y - 3}, {axes.px(end), y + 3}, s);
  }
}

StudyPicture index_picture(const StudyData &data, const StudyAnalysis &analysis, const Group &group) {
  const std::size_t bars = std::min(data.inputs.size(), most_shown);
  const double slot = 1.5 * row, panel = slot * bars + 74;
  Group held;
  for (const std::size_t i : group)
    if (analysis.indices[i].hold)
      held.push_back(i);
  StudyPicture picture;
  if (held.empty())
    return picture;
  picture.name = "indices";
  picture.width = 980;
  picture.height = static_cast<int>(96 + panel * held.size());
  picture.drawing = [=, &data, &analysis](Painter &p) {
    heading(p, data, "Sobol indices: " + series_words(data, data.series[group.front()]),
            "Parts of the variance that the inputs' spreads make; whiskers: 95 % bootstrap intervals.");
    p.box(30, p.height() - 81, 20, 12, dark, Stroke{ink, 1, {}});
    p.text({56, p.height() - 75}, "first order: alone", {14});
    p.box(250, p.height() - 81, 20, 12, white, Stroke{ink, 1, {}});
    p.text({276, p.height() - 75}, "total: with all that it does together with others", {14});
    for (std::size_t k = 0; k < held.size(); ++k) {
      const Indices &all = analysis.indices[held[k]];
      const double top = p.height() - 94 - k * panel;
      p.text({30, top - 12},
             p.fitted(data.series[held[k]].design + ": surrogate of " + std::to_string(all.terms) +
                          " terms misses " + short_number(std::round(1000 * all.error) / 10) +
                          " % of the variance",
                      p.width() - 60, {15}),
             {15, Align::left, ink, true});
      std::vector<std::size_t> order(data.inputs.size());
      for (std::size_t j = 0; j < order.size(); ++j)
        order[j] = j;
      std::stable_sort(order.begin(), order.end(),
                       [&](std::size_t a, std::size_t b) { return all.input[a].total > all.input[b].total; });
      const Axes axes{300, top - 28 - slot * bars, p.width() - 340, slot * bars, 0, 1.05, 0, 1};
      axes.x_ticks(p, {0, 0.2, 0.4, 0.6, 0.8, 1}, 13);
      axes.frame(p);
      for (std::size_t b = 0; b < bars; ++b) {
        const InputIndex &x = all.input[order[b]];
        const double y = axes.y + axes.h - slot * (b + 0.5);
        p.text({axes.x - 8, y}, p.fitted(spoken_name(data.inputs[order[b]].name), axes.x - 46, {14}),
               {14, Align::right});
        index_bar(p, axes, y + 8, 13, x.first, x.first_low, x.first_high, dark);
        index_bar(p, axes, y - 8, 13, x.total, x.total_low, x.total_high, white);
      }
    }
  };
  return picture;
}

// ---- heat map

StudyPicture map_picture(const StudyData &data, const HeatMap &map, const Range &range) {
  StudyPicture picture;
  picture.name = "map";
  picture.width = 900;
  picture.height = 700;
  picture.drawing = [=, &data](Painter &p) {
    const StudySeries &s = data.series[map.series];
    heading(p, data, s.design + ": " + series_words(data, s),
            data.inputs.size() > 2 ? "Mean over the other inputs." : "");
    const double x0 = 130, y0 = 80, w = p.width() - 320, h = p.height() - 170, cell_w = w / map.x.size(),
                 cell_h = h / map.y.size();
    const bool numbers = cell_w > 44 && cell_h > 18;
    const auto colour = [&](double t) { return sequential_colour(t); };
    for (std::size_t j = 0; j < map.y.size(); ++j)
      for (std::size_t i = 0; i < map.x.size(); ++i) {
        const double value = map.value[j * map.x.size() + i];
        if (!std::isfinite(value))
          continue;
        const Colour fill = colour((value - range.low) / std::max(1e-300, range.high - range.low));
        p.box(x0 + i * cell_w, y0 + j * cell_h, cell_w, cell_h, fill, Stroke{white, 0.6, {}});
        if (numbers)
          p.text({x0 + (i + 0.5) * cell_w, y0 + (j + 0.5) * cell_h}, short_number(value),
                 {13, Align::centre, lightness(fill) > 55 ? ink : white});
      }
    p.box(x0, y0, w, h, {}, Stroke{dark, 1, {}});
    const std::size_t every_x = std::ceil(50 / cell_w), every_y = std::ceil(20 / cell_h);
    for (std::size_t i = 0; i < map.x.size(); i += every_x)
      p.text({x0 + (i + 0.5) * cell_w, y0 - 14},
             p.fitted(input_value(data.inputs[map.x_input], map.x[i]), every_x * cell_w - 4, {13}),
             {13, Align::centre});
    for (std::size_t j = 0; j < map.y.size(); j += every_y)
      p.text({x0 - 8, y0 + (j + 0.5) * cell_h},
             p.fitted(input_value(data.inputs[map.y_input], map.y[j]), 80, {13}), {13, Align::right});
    p.text({x0 + w / 2, y0 - 42}, p.fitted(spoken_name(data.inputs[map.x_input].name), w, {14}),
           {14, Align::centre});
    p.text({26, y0 + h / 2}, p.fitted(spoken_name(data.inputs[map.y_input].name), h, {14}),
           {14, Align::centre, ink, false, 90});
    colour_bar(p, x0 + w + 40, y0, 24, h - 20, range.low, range.high, colour);
  };
  return picture;
}

/// Part of a file's name.
std::string file_words(const StudyData &data, const StudySeries &s) {
  return s.output + "-ray" + std::to_string(s.ray) + (data.several_activities ? "-" + s.activity : "");
}

} // namespace

std::vector<StudyPicture> study_pictures(const StudyData &data, const StudyAnalysis &analysis) {
  std::vector<StudyPicture> pictures;
  const auto add = [&](StudyPicture picture, const std::string &of) {
    if (picture.width == 0)
      return;
    picture.name += "-" + of;
    pictures.push_back(std::move(picture));
  };
  for (const Group &all : series_groups(data)) {
    Group group;
    for (const std::size_t i : all)
      if (!data.series[i].value.empty())
        group.push_back(i);
    if (group.empty())
      continue;
    Group moved;
    for (const std::size_t i : group)
      if (!is_constant(data.series[i]))
        moved.push_back(i);
    const std::string of = file_words(data, data.series[group.front()]);
    add(curves_picture(data, analysis, group), of);
    if (data.inputs.size() > 1 && !moved.empty())
      add(tornado_picture(data, analysis, moved), of);
    add(index_picture(data, analysis, group), of);
    Range range; // the same for all designs
    for (const HeatMap &map : analysis.maps)
      if (std::find(group.begin(), group.end(), map.series) != group.end())
        for (const double value : map.value)
          range.take(value);
    if (const std::vector<double> ticks = round_ticks(range.low, range.high, 8); ticks.size() > 1) {
      const double step = ticks[1] - ticks[0]; // ends of the scale that read well
      range.low = step * std::floor(range.low / step);
      range.high = step * std::ceil(range.high / step);
    }
    if (range.high > range.low)
      for (const HeatMap &map : analysis.maps)
        if (std::find(group.begin(), group.end(), map.series) != group.end())
          add(map_picture(data, map, range), of + "-" + data.series[map.series].design);
  }
  return pictures;
}

std::string write_study_pictures(const std::vector<StudyPicture> &pictures, const std::string &folder,
                                 const std::function<void(const std::string &)> &say) {
  std::optional<Display> display;
  if (const std::string why = why_no_display(display); !why.empty())
    return no_pictures_words(why);
  for (const StudyPicture &p : pictures) {
    say("drawing " + p.name);
    write_png(p.drawing, p.width, p.height, folder + "/" + p.name + ".png");
    write_svg(p.drawing, p.width, p.height, folder + "/" + p.name + ".svg");
  }
  return "";
}

} // namespace raybend
