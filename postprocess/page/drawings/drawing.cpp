// A design drawn to scale: toes to the right, plan above, section along the painful ray below it, one millimetre of
// the insole to one unit.
#include "postprocess/page/drawings/drawing.hpp"
#include "geometry/cautions.hpp"
#include "geometry/foot_shape.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "geometry/sole_ground.hpp"
#include "postprocess/page/html.hpp"
#include "postprocess/pictures/plan_lines.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>
#include <cmath>
#include <sstream>

namespace raybend {

namespace {

constexpr double margin = 4, right_words = 27, row = 6.5, line_height = 4.3; // mm
constexpr auto axis_stroke =
    "fill=\"none\" stroke=\"#8894a3\" stroke-width=\"0.15\" stroke-dasharray=\"4 1 0.6 1\"";

constexpr auto edge_stroke = "stroke=\"#9c4f0d\" stroke-width=\"0.45\"";

std::string mm_text(const double mm) {
  return csv_number(std::round(10 * mm) / 10);
}

/// Where a design stands on its page.
class Sheet {
public:
  Sheet(const ReportInput &input, const std::size_t place, const bool alone)
      : input(input), design(input.outcomes[place].design), place(place), shape(input.foot),
        left(input.foot.side == Side::left), painful(input.foot.painful_ray),
        columns(section_along(input.foot, design, painful)) {
    for (double s = 0; s <= logical::stations; s += 0.25)
      for (double b = 0; b <= 10; b += 0.5) {
        const Vec3 p = shape.skin(s, b);
        x_low = std::min(x_low, p[0]);
        x_high = std::max(x_high, p[0]);
        y_low = std::min(y_low, side(p[1]));
        y_high = std::max(y_high, side(p[1]));
      }
    plan_top = alone ? 15 : margin + 2;
    plan_bottom = plan_top + y_high - y_low;
    if (alone)
      body += svg_text({margin, 7}, design_letter(place) + "  " + input.outcomes[place].name_for_people(), 5,
                       "start", "font-weight=\"bold\"") +
              svg_text({margin, 12},
                       std::string(left ? "Left" : "Right") +
                           " foot, forefoot part, dimensions in mm; as made, unloaded",
                       3.2);
  }

  double side(const double y) const { return left ? -y : y; }
  double px(const double x) const { return margin + x - x_low; }
  double py(const double y) const { return plan_top + y_high - y; } ///< of a mirrored y
  double pz(const double z) const { return section_zero - z; }
  SvgPoint plan(const Vec3 &p) const { return {px(p[0]), py(p[1])}; }
  SvgPoint own(const Vec3 &p) const { return {px(p[0]), py(side(p[1]))}; } ///< of a right foot's place
  double head_x(const int ray) const { return shape.axis(ray, logical::head_station)[0]; }
  /// Station of a ray where its axis passes x.
  double station(const int ray, const double x) const {
    double s = 0;
    while (s < logical::stations && shape.axis(ray, s)[0] < x)
      s += 0.02;
    return s;
  }

  void draw_plan();
  void draw_dimensions();
  void draw_section();
  void draw_legend(const std::vector<std::string> &words, bool alone);
  std::string svg(bool alone, const std::string &label) const;

private:
  std::vector<SvgPoint> pad_outline(const SupportElement &pad) const;
  void width_across(const SupportElement &e, double x);
  void heights();
  void draw_ground(double sole_bottom);

  const ReportInput &input;
  const Design &design;
  std::size_t place; ///< among the outcomes
  FootShape shape;
  bool left;
  int painful;
  std::vector<SectionColumn> columns;
  double x_low = 1e9, x_high = -1e9, y_low = 1e9, y_high = -1e9;
  double plan_top = 0, plan_bottom = 0, section_zero = 0, end = 0;
  std::string body;
};

void Sheet::draw_plan() {
  std::vector<SvgPoint> outline;
  for (int i = 0; i <= 80; ++i)
    outline.push_back(own(shape.skin(0.1 * i, 0)));
  for (int k = 0; k <= 50; ++k)
    outline.push_back(own(shape.skin(8, 0.2 * k)));
  for (int i = 80; i >= 0; --i)
    outline.push_back(own(shape.skin(0.1 * i, 10)));
  body += svg_shape(svg_path(outline, true), "fill=\"#f7f5f0\" stroke=\"#333f4d\" stroke-width=\"0.4\"");
  for (int r = 1; r <= 5; ++r) {
    std::vector<SvgPoint> bone;
    const auto edge = [&](const double s, const double sign) {
      Vec3 p = shape.axis(r, s);
      p[1] += sign * shape.section(r, s).half_width;
      bone.push_back(own(p));
    };
    for (int i = 0; i <= 69; ++i)
      edge(0.1 * i, 1);
    for (int i = 69; i >= 0; --i)
      edge(0.1 * i, -1);
    const bool hurts = r == painful;
    body += svg_shape(svg_path(bone, true), std::string("fill=\"") + (hurts ? "#e4e8ee" : "#eef0f3") +
                                                "\" stroke=\"#a4afbd\" stroke-width=\"" +
                                                (hurts ? "0.4" : "0.2") + "\"");
    const SvgPoint tip = own(shape.skin(logical::stations, logical::axis_of(r)));
    body += svg_text({tip[0] - 4, tip[1] + 1.2}, std::to_string(r), 3.4, "middle",
                     hurts ? "font-weight=\"bold\"" : "");
  }
  std::vector<SvgPoint> axis, heads;
  for (int i = 0; i <= 80; ++i)
    axis.push_back(own(shape.axis(painful, 0.1 * i)));
  body += svg_shape(svg_path(axis, false), axis_stroke);
  for (int k = 5; k <= 45; ++k)
    heads.push_back(own(shape.skin(logical::head_station, 0.2 * k)));
  body += svg_shape(svg_path(heads, false), axis_stroke);
  Design others = design; // a pad's outline is known exactly; the rest are contours
  others.support.erase(std::remove_if(others.support.begin(), others.support.end(),
                                      [](const SupportElement &e) { return e.kind == SupportKind::pad; }),
                       others.support.end());
  for (const SupportElement &e : design.support)
    if (e.kind == SupportKind::pad)
      body += svg_shape(svg_path(pad_outline(e), true),
                        std::string("fill=\"#e08a3c\" fill-opacity=\"0.25\" ") + edge_stroke);
  for (const PlanLine &edge : plan_lines(input.foot, others, left)) {
    std::vector<SvgPoint> points;
    for (const Vec3 &x : edge)
      points.push_back(plan(x));
    const bool closed = norm(edge.front() - edge.back()) < 0.01;
    body += svg_shape(svg_path(points, closed), std::string("fill=\"") + (closed ? "#e08a3c" : "none") +
                                                    "\" fill-opacity=\"0.25\" " + edge_stroke);
  }
  for (const PlanLine &crest : crest_lines(input.foot, others, left)) {
    std::vector<SvgPoint> points;
    for (const Vec3 &x : crest)
      points.push_back(plan(x));
    body += svg_shape(svg_path(points, false),
                      "fill=\"none\" stroke=\"#9c4f0d\" stroke-width=\"0.3\" stroke-dasharray=\"1.4 0.9\"");
  }
  for (const SupportElement &e : design.support)
    if (e.width > 0)
      width_across(e, e.kind == SupportKind::pad
                          ? head_x(e.ray) - e.crest_behind_heads()
                          : head_x(e.ray) - e.behind_heads - e.distal_bevel - 0.5 * e.length);
  body += svg_text({px(x_low) + 1, py(y_high) + 3.5}, left ? "lateral" : "medial", 2.8, "start",
                   "fill=\"#5a6675\"");
  body += svg_text({px(x_low) + 1, py(y_low) - 1.5}, left ? "medial" : "lateral", 2.8, "start",
                   "fill=\"#5a6675\"");
}

/// The edge of a pad (geometry/insole_shape.cpp): two half ellipses that meet at the crest.
std::vector<SvgPoint> Sheet::pad_outline(const SupportElement &pad) const {
  const double front = crest_part(pad.profile) * pad.length,
               crest = head_x(pad.ray) - pad.crest_behind_heads();
  std::vector<SvgPoint> points;
  for (int i = 0; i < 120; ++i) {
    const double angle = i * std::acos(-1.0) / 60, along = std::cos(angle);
    const double x = crest + along * (along > 0 ? front : pad.length - front);
    const double middle = shape.axis(pad.ray, station(pad.ray, x))[1] + pad.shift_medial;
    points.push_back(own({x, middle + std::sin(angle) * pad.width / 2, 0}));
  }
  return points;
}

/// The width of an element, across the foot.
void Sheet::width_across(const SupportElement &e, const double x) {
  const double middle = shape.axis(e.ray, station(e.ray, x))[1] + e.shift_medial;
  const double from = py(side(middle + e.width / 2)), to = py(side(middle - e.width / 2));
  const double top = std::min(from, to), bottom = std::max(from, to), at = px(x);
  body += svg_line({at, top}, {at, bottom}, "stroke=\"#333f4d\" stroke-width=\"0.18\" fill=\"none\"");
  for (const auto &[y, way] : {std::pair(top, 1.0), std::pair(bottom, -1.0)})
    body += svg_shape(svg_path({{at, y}, {at - 0.45, y + way * 1.6}, {at + 0.45, y + way * 1.6}}, true),
                      "fill=\"#333f4d\"");
  body += svg_text({at - 1, top + 0.3 * (bottom - top)}, mm_text(e.width), 3, "end",
                   "paint-order=\"stroke\" stroke=\"#fff\" stroke-width=\"0.9\" stroke-linejoin=\"round\"");
}

/// Chains of dimensions along the foot, each from the centre of a head: edges, bevels and crest of every support
/// element and the ends of layers.
void Sheet::draw_dimensions() {
  double y = plan_bottom + row;
  const auto chain = [&](const int ray, std::vector<double> behind) {
    std::sort(behind.begin(), behind.end());
    const double from_y = own(shape.axis(ray, logical::head_station))[1];
    for (std::size_t i = 0; i + 1 < behind.size(); ++i)
      if (const double length = behind[i + 1] - behind[i]; length > 0.05)
        body += svg_dimension(px(head_x(ray) - behind[i + 1]), px(head_x(ray) - behind[i]), y, from_y,
                              mm_text(length));
    body += svg_text({margin + x_high - x_low + 2, y + 1}, "from head " + std::to_string(ray), 2.8, "start",
                     "fill=\"#5a6675\"");
    y += row;
  };
  for (const SupportElement &e : design.support)
    switch (e.kind) {
    case SupportKind::pad:
      chain(e.ray, {0, e.behind_heads, e.crest_behind_heads(), e.behind_heads + e.length});
      break;
    case SupportKind::bar: {
      const double crest = e.behind_heads + e.distal_bevel;
      chain(e.width > 0 ? e.ray : painful,
            {0, e.behind_heads, crest, crest + e.length, crest + e.length + e.proximal_bevel});
      break;
    }
    case SupportKind::plate:
      chain(painful, {0, e.behind_heads, e.behind_heads + e.length});
      break;
    case SupportKind::hardness:
      chain(e.ray, {0, e.behind_heads, e.behind_heads + e.length});
      break;
    case SupportKind::relief:
      chain(e.ray, {-e.radius, 0, e.radius});
      break;
    case SupportKind::u_cut_out:
      chain(e.ray, {0, e.radius, e.behind_heads + e.length});
      break;
    case SupportKind::first_ray_cut_out:
    case SupportKind::first_ray_extension:
      chain(1, {0, e.behind_heads});
      break;
    case SupportKind::arch_fill:
    case SupportKind::wedge:
      break;
    }
  for (const Layer &layer : design.layers) {
    std::vector<double> ends = {0};
    for (const double at : {layer.from_behind_heads, layer.to_behind_heads})
      if (std::abs(at) < whole_foot && head_x(painful) - at > x_low && head_x(painful) - at < x_high)
        ends.push_back(at);
    if (ends.size() > 1)
      chain(painful, ends);
  }
  plan_bottom = y - row; // below it comes the section
}

void Sheet::draw_section() {
  double highest = 0, lowest = 0;
  for (const SectionColumn &c : columns) {
    highest = std::max(highest, c.pieces.front().top);
    lowest = std::min(lowest, c.pieces.back().bottom);
  }
  const double head_z = shape.axis(painful, logical::head_station)[2];
  highest = std::max(highest + 12, head_z + 6); // of the bone no more than is of use here
  section_zero = plan_bottom + 4 + highest;
  end = pz(lowest) + 3;
  draw_ground(lowest);

  std::vector<SvgPoint> bone, skin;
  for (const double side_of : {1.0, -1.0}) {
    std::vector<SvgPoint> edge;
    for (int i = 0; i <= 69; ++i) {
      const double s = 0.1 * (side_of > 0 ? i : 69 - i),
                   z = shape.axis(painful, s)[2] + side_of * shape.section(painful, s).half_height;
      const SvgPoint p = {px(shape.axis(painful, s)[0]), pz(std::min(z, highest))};
      bone.push_back(p);
      if (z < highest)
        edge.push_back(p);
    }
    body += svg_shape(svg_path(edge, false), "fill=\"none\" stroke=\"#a4afbd\" stroke-width=\"0.4\"");
  }
  body += svg_shape(svg_path(bone, true), "fill=\"#e4e8ee\"");
  for (int i = 0; i <= 80; ++i) {
    const Vec3 p = shape.skin(0.1 * i, logical::axis_of(painful));
    skin.push_back({px(p[0]), pz(p[2])});
  }
  // Pieces of neighbouring columns are one area while the parts above one another stay the same.
  std::string faces;
  for (std::size_t from = 0; from < columns.size();) {
    std::size_t to = from + 1;
    const auto alike = [&](const SectionColumn &a, const SectionColumn &b) {
      return a.pieces.size() == b.pieces.size() &&
             std::equal(a.pieces.begin(), a.pieces.end(), b.pieces.begin(),
                        [](const auto &p, const auto &q) { return p.part == q.part; });
    };
    while (to < columns.size() && alike(columns[from], columns[to]))
      ++to;
    const std::size_t last = std::min(to, columns.size() - 1); // up to the next column, so that no gap stays
    for (std::size_t k = 0; k < columns[from].pieces.size(); ++k) {
      std::vector<SvgPoint> area;
      for (std::size_t i = from; i < to; ++i)
        area.push_back({px(columns[i].x), pz(columns[i].pieces[k].top)});
      area.push_back({px(columns[last].x), area.back()[1]});
      area.push_back({px(columns[last].x), pz(columns[to - 1].pieces[k].bottom)});
      for (std::size_t i = to; i-- > from;)
        area.push_back({px(columns[i].x), pz(columns[i].pieces[k].bottom)});
      const std::string colour = part_colour(design, columns[from].pieces[k].part);
      body += svg_shape(svg_path(area, true),
                        "fill=\"" + colour + "\" stroke=\"" + colour + "\" stroke-width=\"0.05\"");
      const std::size_t half = to - from + 1; // the upper edge alone, so that no upright line appears
      faces += svg_path({area.begin(), area.begin() + static_cast<std::ptrdiff_t>(half)}, false);
      if (k + 1 == columns[from].pieces.size())
        faces += svg_path({area.begin() + static_cast<std::ptrdiff_t>(half), area.end()}, false);
    }
    from = to;
  }
  body += svg_shape(faces, "fill=\"none\" stroke=\"#333f4d\" stroke-width=\"0.2\" stroke-linejoin=\"round\"");
  body += svg_shape(svg_path(skin, false),
                    "fill=\"none\" stroke=\"#b0656a\" stroke-width=\"0.3\" stroke-dasharray=\"1.2 0.8\"");
  const double head = px(head_x(painful));
  body += svg_line({head, pz(highest) - 1}, {head, pz(lowest) + 1}, axis_stroke);
  const Vec3 middle = shape.axis(painful, 5);
  body += svg_text({px(middle[0]), pz(std::min(middle[2], highest - 4)) + 1}, "MT" + std::to_string(painful),
                   3, "middle", "fill=\"#5a6675\"");
  // thicknesses at the toe end
  double words_y = -1e9;
  for (const auto &piece : columns.back().pieces) {
    if (piece.part.of != SectionPart::Of::layer || piece.top - piece.bottom < 0.3)
      continue;
    const Layer &layer = design.layers[piece.part.place];
    const double thick = piece.top - piece.bottom, x = px(x_high),
                 y = std::max(pz((piece.top + piece.bottom) / 2) + 1, words_y + 3.3);
    const double shown = std::abs(thick - layer.thickness) < 0.15 ? layer.thickness : thick;
    static const char *const names[] = {"sole", "plate", "base", "cover"};
    for (const double z : {piece.top, piece.bottom})
      body += svg_line({x, pz(z)}, {x + 2, pz(z)}, "stroke=\"#333f4d\" stroke-width=\"0.18\" fill=\"none\"");
    body += svg_text({x + 3, y}, mm_text(shown) + " " + names[static_cast<int>(layer.role)], 3);
    words_y = y;
  }
  heights();
}

/// The ground under the sole: of a rocker as the shoe stands, and with the heel up at the instant that strains the painful
/// ray most, which shows where the sole bends.
void Sheet::draw_ground(const double sole_bottom) {
  constexpr double deepest = 9, words_space = 3; // mm below the sole
  const auto line = [&](const double rise, const char *stroke, const std::string &words) {
    const SoleGround ground(shape, design.shoe, rise);
    std::vector<SvgPoint> points;
    for (const SectionColumn &c : columns)
      if (const double below = ground.below(ground.behind({c.x, c.y, 0})); below <= deepest)
        points.push_back({px(c.x), pz(sole_bottom - std::max(0.0, below))});
    body += svg_shape(svg_path(points, false), std::string("fill=\"none\" stroke-width=\"0.35\" ") + stroke);
    end = std::max(end, pz(sole_bottom - deepest) + words_space);
    body += svg_text({px(columns.front().x) + 2, end - 1}, words, 2.8, "start", "fill=\"#5a6675\"");
    end += line_height;
  };
  if (design.shoe.has_rocker())
    line(0, "stroke=\"#333f4d\"", "line: ground under the unloaded rocker");
  const double stance = input.outcomes[place].with.ray[painful - 1].peak_strain_stance;
  const Activity *at = &input.activity.activity;
  for (const Activity &instant : input.activity.course)
    if (instant.stance_percent == stance)
      at = &instant;
  if (at->heel_rise_deg > 0 && !at->barefoot)
    line(at->heel_rise_deg, "stroke=\"#333f4d\" stroke-dasharray=\"0.5 0.8\"",
         "dotted: ground with the heel up by " + fixed(at->heel_rise_deg) + " deg" +
             (at->stance_percent > 0 ? ", at " + fixed(at->stance_percent) + " % of stance" : std::string()));
}

/// Heights of support elements where they are highest (deepest) along the painful ray.
void Sheet::heights() {
  const InsoleShape insole(design, shape);
  for (std::size_t k = 0; k < design.support.size(); ++k) {
    const SupportElement &e = design.support[k];
    if (!raises(e.kind) && e.kind != SupportKind::relief && e.kind != SupportKind::first_ray_cut_out)
      continue;
    double most = 0, at = 0;
    const double b = logical::axis_of(painful);
    for (double s = 0; s <= logical::stations; s += 0.04)
      if (const double rise = std::abs(insole.rise_by(k, s, b)); rise > most + 1e-9) {
        most = rise;
        at = s;
      }
    if (most < 0.2)
      continue;
    const double x = px(insole.point({at, b, -1})[0]), top = insole.top(at, b),
                 other = top - insole.rise_by(k, at, b);
    body += svg_line({x, pz(top)}, {x, pz(other)}, "stroke=\"#333f4d\" stroke-width=\"0.25\" fill=\"none\"");
    for (const double z : {top, other})
      body +=
          svg_line({x - 1, pz(z)}, {x + 1, pz(z)}, "stroke=\"#333f4d\" stroke-width=\"0.25\" fill=\"none\"");
    body += svg_text({x + 1.4, (pz(top) + pz(other)) / 2 + 1},
                     mm_text(most) + (raises(e.kind) ? " high" : " deep"), 3, "start",
                     "paint-order=\"stroke\" stroke=\"#fff\" stroke-width=\"0.8\" stroke-linejoin=\"round\"");
  }
}

/// What the colours are, and a scale.
void Sheet::draw_legend(const std::vector<std::string> &words, const bool alone) {
  double y = end + 6;
  body += svg_line({margin, y - 3}, {margin + 20, y - 3},
                   "stroke=\"#333f4d\" stroke-width=\"0.5\" fill=\"none\"");
  for (const double x : {margin, margin + 10, margin + 20})
    body += svg_line({x, y - 4}, {x, y - 2}, "stroke=\"#333f4d\" stroke-width=\"0.3\" fill=\"none\"");
  body += svg_text({margin + 22, y - 2},
                   "20 mm. Dash-dot: heads, axis of ray " + std::to_string(painful) + "; red: skin at rest",
                   2.8, "start", "fill=\"#5a6675\"");
  y += line_height;
  const std::size_t layers = design.layers.size();
  const std::size_t width = 72;
  for (std::size_t k = 1; k < words.size(); ++k) { // the first says the fit
    if (k <= layers || k - 1 - layers < design.support.size()) {
      const SectionPart part = k <= layers ? SectionPart{SectionPart::Of::layer, k - 1}
                                           : SectionPart{SectionPart::Of::element, k - 1 - layers};
      body += "<rect x=\"" + fixed(margin, 2) + "\" y=\"" + fixed(y - 2.6, 2) +
              "\" width=\"4.5\" height=\"3\" fill=\"" + part_colour(design, part) +
              "\" stroke=\"#333f4d\" stroke-width=\"0.15\"/>\n";
    }
    std::istringstream lines(wrapped(words[k], width));
    for (std::string one; std::getline(lines, one); y += line_height)
      body += svg_text({margin + 6, y}, one, 3.1);
  }
  if (alone)
    for (const char *caution : cautions) {
      std::istringstream lines(wrapped(caution, 92));
      for (std::string one; std::getline(lines, one); y += 3.4)
        body += svg_text({margin, y}, one, 2.4, "start", "fill=\"#5a6675\"");
    }
  end = y - line_height + 3;
}

std::string Sheet::svg(const bool alone, const std::string &label) const {
  const double w = margin + x_high - x_low + right_words, h = end;
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + fixed(w, 1) + " " + fixed(h, 1) + "\"" +
         (alone ? " width=\"" + fixed(w, 1) + "mm\" height=\"" + fixed(h, 1) + "mm\"" : std::string()) +
         " role=\"img\" aria-label=\"" + escaped(label) +
         "\" font-family=\"DejaVu Sans, Arial, sans-serif\" fill=\"#1d2733\">\n" + body + "</svg>\n";
}

} // namespace

std::string design_drawing(const ReportInput &input, const std::size_t place, const bool alone) {
  const DesignOutcome &o = input.outcomes[place];
  if (o.design.layers.empty())
    return "";
  Sheet sheet(input, place, alone);
  sheet.draw_plan();
  sheet.draw_dimensions();
  sheet.draw_section();
  sheet.draw_legend(o.made_of, alone);
  return sheet.svg(alone, "Design " + design_letter(place) + ", " + o.name_for_people() +
                              ": plan and section along ray " + std::to_string(input.foot.painful_ray) +
                              ", to scale, dimensions in mm");
}

} // namespace raybend
