// Plantar pressure as filled contours of an SVG.
#include "postprocess/page/drawings/pressure_map.hpp"
#include "postprocess/canvas/colours.hpp"
#include "postprocess/page/drawings/svg.hpp"
#include "postprocess/page/html.hpp"
#include "postprocess/pictures/patch_mesh.hpp"
#include "postprocess/pictures/plan_lines.hpp"
#include "postprocess/pictures/pressure.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr double least_kpa = 5; // below this the skin counts as unloaded
constexpr int bands = 14;
constexpr double border = 6; // mm round the foot

std::string hex(const Colour &c) {
  std::string text = "#";
  for (const unsigned char part : {c.r, c.g, c.b})
    for (const int half : {part >> 4, part & 15})
      text += "0123456789abcdef"[half];
  return text;
}

double level_of(const int band, const double top) {
  return band == 0 ? least_kpa : top * band / bands;
}

std::string band_colour(const int band) {
  return hex(sequential_colour(1 - (band + 0.5) / bands));
}

struct Frame {
  double x_low = 1e9, x_high = -1e9, y_low = 1e9, y_high = -1e9, highest = 0;

  SvgPoint at(const Vec3 &p) const { return {border + y_high - p[1], border + x_high - p[0]}; }
  double width() const { return y_high - y_low + 2 * border; }
  double height() const { return x_high - x_low + 2 * border; }
};

/// The mesh's values on a square grid, 1 mm apart, nothing outside: so that every contour closes.
PatchMesh on_grid(const PatchMesh &mesh, const Frame &frame) {
  const long nx = std::lround(frame.x_high - frame.x_low) + 5,
             ny = std::lround(frame.y_high - frame.y_low) + 5;
  const double x0 = frame.x_low - 2, y0 = frame.y_low - 2;
  PatchMesh grid;
  for (long i = 0; i < nx; ++i)
    for (long k = 0; k < ny; ++k)
      grid.point.push_back({x0 + i, y0 + k, 0});
  grid.value.assign(grid.point.size(), 0.0);
  for (long i = 0; i + 1 < nx; ++i)
    for (long k = 0; k + 1 < ny; ++k) {
      const std::size_t first = i * ny + k;
      grid.quad.push_back({first, first + 1, first + ny + 1, first + ny});
    }
  const auto fill = [&](const std::array<std::size_t, 3> &corner) {
    const Vec3 &a = mesh.point[corner[0]], &b = mesh.point[corner[1]], &c = mesh.point[corner[2]];
    const double twice = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
    if (std::abs(twice) < 1e-9)
      return;
    const auto [left, right] = std::minmax({a[0], b[0], c[0]});
    const auto [low, high] = std::minmax({a[1], b[1], c[1]});
    for (long i = std::max(0L, std::lround(std::floor(left - x0))); i < nx && x0 + i <= right + 1e-9; ++i)
      for (long k = std::max(0L, std::lround(std::floor(low - y0))); k < ny && y0 + k <= high + 1e-9; ++k) {
        const double x = x0 + i, y = y0 + k;
        const double in_b = ((x - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (y - a[1])) / twice,
                     in_c = ((b[0] - a[0]) * (y - a[1]) - (x - a[0]) * (b[1] - a[1])) / twice;
        if (in_b >= -1e-9 && in_c >= -1e-9 && in_b + in_c <= 1 + 1e-9)
          grid.value[i * ny + k] = (1 - in_b - in_c) * mesh.value[corner[0]] + in_b * mesh.value[corner[1]] +
                                   in_c * mesh.value[corner[2]];
      }
  };
  for (const auto &q : mesh.quad) {
    fill({q[0], q[1], q[2]});
    fill({q[0], q[2], q[3]});
  }
  return grid;
}

std::string path_of(const std::vector<PlanLine> &lines, const Frame &frame, const bool closed) {
  std::string d; // tenths of a millimetre, each from the one before: short
  for (const PlanLine &line : lines) {
    std::array<long, 2> last{};
    const std::size_t before = d.size();
    bool moved = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
      const SvgPoint p = frame.at(line[i]);
      const std::array<long, 2> now = {std::lround(10 * p[0]), std::lround(10 * p[1])};
      moved |= i > 0 && now != last;
      if (i == 0)
        d += "M" + std::to_string(now[0]) + " " + std::to_string(now[1]) + "l";
      else if (now != last)
        d += std::to_string(now[0] - last[0]) + (now[1] < last[1] ? "" : " ") +
             std::to_string(now[1] - last[1]) + " ";
      last = now;
    }
    if (!moved)
      d.resize(before); // a line shorter than a tenth
    else if (closed)
      d += "Z";
  }
  return d;
}

std::vector<PlanLine> outline_of(const PatchMesh &mesh) {
  std::vector<std::array<Vec3, 2>> edges;
  for (const auto &edge : mesh.outline)
    edges.push_back({mesh.point[edge[0]], mesh.point[edge[1]]});
  return joined_lines(edges);
}

/// Where the numbers of the rays stand: the most distal point of each ray's skin.
std::string ray_numbers(const PatchMesh &mesh, const Frame &frame, const int painful) {
  std::string text;
  for (int r = 1; r <= 5; ++r) {
    Vec3 tip = {-1e9, 0, 0};
    double low = 1e9, high = -1e9;
    for (std::size_t q = 0; q < mesh.quad.size(); ++q)
      if (mesh.ray[q] == r)
        for (const std::size_t k : mesh.quad[q])
          tip[0] = std::max(tip[0], mesh.point[k][0]);
    for (std::size_t q = 0; q < mesh.quad.size(); ++q)
      if (mesh.ray[q] == r)
        for (const std::size_t k : mesh.quad[q])
          if (mesh.point[k][0] > tip[0] - 5) {
            low = std::min(low, mesh.point[k][1]);
            high = std::max(high, mesh.point[k][1]);
          }
    tip[1] = (low + high) / 2;
    const SvgPoint at = frame.at(tip);
    text += svg_text({at[0], at[1] - 1.2}, std::to_string(r), 4.2, "middle",
                     r == painful ? "font-weight=\"bold\"" : "");
  }
  return text;
}

std::string map_of(const ReportInput &input, const std::size_t place, const PatchMesh &mesh,
                   const Frame &frame, const double top) {
  const DesignOutcome &o = input.outcomes[place];
  const bool left = input.foot.side == Side::left;
  std::string svg = "<svg viewBox=\"0 0 " + fixed(frame.width(), 1) + " " + fixed(frame.height(), 1) +
                    "\" role=\"img\" aria-label=\"" +
                    escaped("Plantar pressure, design " + design_letter(place) + ": " + o.name_for_people()) +
                    "\" font-family=\"DejaVu Sans, Arial, sans-serif\">\n<g transform=\"scale(.1)\">\n";
  svg += svg_shape(path_of(outline_of(mesh), frame, true), "fill=\"#ffffff\"");
  const PatchMesh grid = on_grid(mesh, frame);
  for (int band = 0; band < bands; ++band) {
    const std::vector<PlanLine> lines = joined_lines(level_lines(grid, level_of(band, top)));
    if (!lines.empty())
      svg +=
          svg_shape(path_of(lines, frame, true), "fill=\"" + band_colour(band) + "\" fill-rule=\"evenodd\"");
  }
  svg += svg_shape("M0 0H" + fixed(10 * frame.width()) + "V" + fixed(10 * frame.height()) + "H0Z" +
                       path_of(outline_of(mesh), frame, true),
                   "fill=\"#ffffff\" fill-rule=\"evenodd\""); // the grid reaches a millimetre over the edge
  svg += svg_shape(path_of(outline_of(mesh), frame, true),
                   "fill=\"none\" stroke=\"#323232\" stroke-width=\"5\"");
  if (!input.activity.activity.barefoot && !o.design.layers.empty()) {
    const std::string edges = path_of(plan_lines(input.foot, o.design, left), frame, false);
    if (!edges.empty())
      svg +=
          svg_shape(edges, "fill=\"none\" stroke=\"#ffffff\" stroke-width=\"9\"") +
          svg_shape(edges, "fill=\"none\" stroke=\"#323232\" stroke-width=\"4\" stroke-dasharray=\"18 13\"");
  }
  svg += "</g>\n";
  const RayResult &ray = o.with.ray[input.foot.painful_ray - 1];
  if (ray.head_peak_pressure.value >= least_kpa) {
    const PlanSquare square = sensor_square(ray, left);
    const std::vector<SvgPoint> box = {
        frame.at({square.x_low, square.y_low, 0}), frame.at({square.x_high, square.y_low, 0}),
        frame.at({square.x_high, square.y_high, 0}), frame.at({square.x_low, square.y_high, 0})};
    svg += svg_shape(svg_path(box, true), "fill=\"none\" stroke=\"#ffffff\" stroke-width=\"1.2\"") +
           svg_shape(svg_path(box, true), "fill=\"none\" stroke=\"#1d2733\" stroke-width=\"0.5\"");
  }
  return svg + ray_numbers(mesh, frame, input.foot.painful_ray) + "</svg>\n";
}

std::string key_of(const double top) {
  std::string svg = "<svg viewBox=\"0 0 120 13\" role=\"img\" aria-label=\"Scale of pressure, 0 to " +
                    fixed(top) + " kPa\" font-family=\"DejaVu Sans, Arial, sans-serif\">\n";
  for (int band = 0; band < bands; ++band)
    svg += "<rect x=\"" + fixed(4 + 96.0 * band / bands, 2) + "\" y=\"1\" width=\"" +
           fixed(96.0 / bands + 0.05, 2) + "\" height=\"5\" fill=\"" + band_colour(band) + "\"/>\n";
  for (int k = 0; k <= 4; ++k)
    svg += svg_text({4 + 24.0 * k, 11}, fixed(top * k / 4), 4, k == 0 ? "start" : "middle");
  return svg + svg_text({104, 5.4}, "kPa", 4) + "</svg>\n";
}

} // namespace

PressureMaps pressure_maps(const ReportInput &input) {
  PressureMaps maps;
  std::vector<PatchMesh> meshes;
  Frame frame;
  for (const DesignOutcome &o : input.outcomes) {
    meshes.emplace_back();
    if (o.with.converged && !o.with.plantar.empty())
      meshes.back() = join_patches(o.with.plantar, true, input.foot.side == Side::left);
    for (std::size_t i = 0; i < meshes.back().point.size(); ++i) {
      const Vec3 &p = meshes.back().point[i];
      frame.x_low = std::min(frame.x_low, p[0]);
      frame.x_high = std::max(frame.x_high, p[0]);
      frame.y_low = std::min(frame.y_low, p[1]);
      frame.y_high = std::max(frame.y_high, p[1]);
      frame.highest = std::max(frame.highest, meshes.back().value[i]);
    }
  }
  maps.svg.resize(meshes.size());
  if (frame.x_high < frame.x_low)
    return maps;
  const double top = pressure_scale_top(input, frame.highest);
  for (std::size_t i = 0; i < meshes.size(); ++i)
    if (!meshes[i].quad.empty())
      maps.svg[i] = map_of(input, i, meshes[i], frame, top);
  maps.key = key_of(top);
  return maps;
}

} // namespace raybend
