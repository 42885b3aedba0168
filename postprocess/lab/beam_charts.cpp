// Charts of a beam: deflection or twist, section forces, stress, beside beam theory.
#include "geometry/beam_holds.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/lab/beam_report.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr double margin_left = 110, margin_right = 40, head = 92, foot = 64, gap = 46;

struct Line {
  std::vector<Point2> points;
  Stroke stroke;
};

struct Panel {
  std::string label;
  std::vector<Line> lines;
  std::vector<Point2> marks;
};

const Stroke solid_line{{0x00, 0x48, 0x7A}, 2.4, {}}, dashed_line{{0xD5, 0x5E, 0x00}, 2.2, {10, 6}};
const Colour mark_colour{0x00, 0x00, 0x00};

void draw_panels(Painter &p, const std::vector<Panel> &panels, const double length, const double low_x,
                 const double high_x) {
  const double room = p.height() - head - foot, each = room / panels.size();
  for (std::size_t i = 0; i < panels.size(); ++i) {
    const Panel &panel = panels[i];
    double low = 0, high = 0;
    const auto stretch = [&](const Point2 &q) {
      low = std::min(low, q[1]);
      high = std::max(high, q[1]);
    };
    for (const Line &l : panel.lines)
      std::for_each(l.points.begin(), l.points.end(), stretch);
    std::for_each(panel.marks.begin(), panel.marks.end(), stretch);
    const double room_above = 0.12 * std::max(high - low, 1e-12);
    const Axes axes{margin_left,
                    foot + (panels.size() - 1 - i) * each + gap * 0.35,
                    p.width() - margin_left - margin_right,
                    each - gap * 0.7,
                    low_x,
                    high_x,
                    low - room_above,
                    high + room_above};
    axes.horizontal_grid(p, std::max(3, int(axes.h / 45)), 12);
    for (const Line &l : panel.lines)
      axes.curve(p, l.points, l.stroke);
    for (const Point2 &m : panel.marks)
      p.marker(Marker::ring, {axes.px(m[0]), axes.py(m[1])}, 8, mark_colour);
    axes.frame(p);
    p.text({axes.x - 86, axes.y + axes.h / 2}, panel.label, {13, Align::centre, {30, 30, 30}, false, 90});
    if (i + 1 == panels.size()) {
      axes.x_ticks(p, round_ticks(0, length, 10), 12);
      p.text({axes.x + axes.w / 2, axes.y - 38}, "place along the axis x, mm", {13, Align::centre});
    }
  }
}

void legend_entry(Painter &p, const double x, const double y, const Stroke *stroke,
                  const std::string &words) {
  if (stroke)
    p.line({x, y}, {x + 40, y}, *stroke);
  else
    p.marker(Marker::ring, {x + 20, y}, 8, mark_colour);
  p.text({x + 50, y}, words, {13});
}

void title(Painter &p, const BeamReport &r, const std::string &what) {
  const TextStyle style{19, Align::left, {20, 20, 20}, true};
  p.text({30, p.height() - 26}, p.fitted(what + ": " + one_line(r.beam.title), p.width() - 60, style), style);
}

std::vector<Panel> force_panels(const BeamReport &r, const BeamCounts &counts) {
  constexpr const char *labels[6] = {"N, N", "Vy, N", "Vz, N", "T, N mm", "My, N mm", "Mz, N mm"};
  std::vector<Panel> shown;
  for (const int k : {0, 2, 1, 4, 5, 3}) {
    if (!(k < 3 ? counts.force[k] : counts.moment[k - 3]))
      continue;
    Panel panel;
    panel.label = labels[k];
    Line statics{{}, solid_line}, theory{{}, dashed_line};
    for (const SolidStation &s : r.last().stations) {
      panel.marks.push_back({s.s, k < 3 ? s.force[k] : s.moment[k - 3]});
      statics.points.push_back({s.s, k < 3 ? s.statics_force[k] : s.statics_moment[k - 3]});
    }
    for (const FrameStation &s : r.timoshenko.stations)
      theory.points.push_back({s.s, k < 3 ? s.force[k] : s.moment[k - 3]});
    theory.points = with_steps(theory.points, concentrated_places(r.beam), 1e-9 * r.beam.length);
    panel.lines = {statics, theory};
    shown.push_back(panel);
  }
  return shown;
}

std::vector<Panel> deflection_panels(const BeamReport &r, const BeamCounts &counts) {
  std::vector<Panel> shown;
  for (const int c : {2, 1, 0}) {
    if (!counts.u[c])
      continue;
    Panel panel;
    panel.label = std::string("u") + "xyz"[c] + ", mm";
    Line euler{{}, dashed_line}, timoshenko{{}, solid_line};
    for (const FrameStation &s : r.timoshenko.stations)
      timoshenko.points.push_back({s.s, s.u[c]});
    for (const FrameStation &s : r.euler.stations)
      euler.points.push_back({s.s, s.u[c]});
    for (const SolidStation &s : r.last().stations)
      panel.marks.push_back({s.s, s.u[c]});
    panel.lines = {timoshenko, euler};
    shown.push_back(panel);
  }
  return shown;
}

std::vector<Panel> twist_panels(const BeamReport &r, const BeamCounts &counts) {
  if (!counts.twist)
    return {};
  Panel panel;
  panel.label = "twist, rad";
  Line theory{{}, solid_line};
  for (const FrameStation &s : r.timoshenko.stations)
    theory.points.push_back({s.s, r.theory_twist(s.s)});
  for (const SolidStation &s : r.last().stations)
    panel.marks.push_back({s.s, s.rotation[0]});
  panel.lines = {theory};
  return {panel};
}

} // namespace

std::vector<Point2> with_steps(const std::vector<Point2> &line, const std::vector<double> &jumps,
                               const double same) {
  const auto jumps_at = [&](const double x) {
    return std::any_of(jumps.begin(), jumps.end(), [&](double at) { return std::abs(at - x) <= same; });
  };
  std::vector<Point2> out;
  for (std::size_t i = 0; i < line.size(); ++i) {
    out.push_back(line[i]);
    if (i + 1 == line.size() || !jumps_at(line[i][0]))
      continue;
    const Point2 &a = line[i + 1]; // the line beyond the jump, carried back to it
    double slope = 0;
    if (i + 2 < line.size() && !jumps_at(a[0]))
      slope = (line[i + 2][1] - a[1]) / (line[i + 2][0] - a[0]);
    out.push_back({line[i][0], a[1] - slope * (a[0] - line[i][0])});
  }
  return out;
}

std::vector<std::string> write_beam_charts(const BeamReport &r, const std::string &folder) {
  const double low = std::min(0.0, r.last().stations.front().s),
               high = std::max(r.beam.length, r.last().stations.back().s);
  const double edge = 0.02 * (high - low);
  std::vector<std::string> names;
  const auto both = [&](const std::string &name, const std::vector<Panel> &panels, const Drawing &drawing) {
    if (panels.empty())
      return;
    const int width = 1100,
              height = static_cast<int>(head + foot + (panels.size() == 1 ? 420 : 240 * panels.size()));
    write_png(drawing, width, height, folder + "/" + name + ".png");
    write_svg(drawing, width, height, folder + "/" + name + ".svg");
    names.push_back(name + ".png");
    names.push_back(name + ".svg");
  };
  const BeamCounts counts = what_counts(r);
  const std::vector<Panel> forces = force_panels(r, counts), deflections = deflection_panels(r, counts),
                           twists = twist_panels(r, counts);
  both("section-forces", forces, [&](Painter &p) {
    title(p, r, "Section forces");
    legend_entry(p, 30, p.height() - 58, nullptr, "integral over the 3D section");
    legend_entry(p, 290, p.height() - 58, &solid_line, "statics of loads and 3D reactions");
    legend_entry(p, 590, p.height() - 58, &dashed_line, "Timoshenko's beam theory");
    draw_panels(p, forces, r.beam.length, low - edge, high + edge);
  });
  both("deflection", deflections, [&](Painter &p) {
    title(p, r, "Deflection");
    legend_entry(p, 30, p.height() - 58, nullptr, "3D, mean of the section");
    legend_entry(p, 290, p.height() - 58, &solid_line, "Timoshenko");
    legend_entry(p, 590, p.height() - 58, &dashed_line, "Euler-Bernoulli");
    draw_panels(p, deflections, r.beam.length, low - edge, high + edge);
  });
  both("twist", twists, [&](Painter &p) {
    title(p, r, "Twist");
    legend_entry(p, 30, p.height() - 58, nullptr, "3D, mean of the section");
    legend_entry(p, 290, p.height() - 58, &solid_line, "torsion theory, free to warp");
    draw_panels(p, twists, r.beam.length, low - edge, high + edge);
  });
  return names;
}

} // namespace raybend
