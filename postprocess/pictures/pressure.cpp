// Plantar pressure of all designs side by side, seen from above, on one scale.
#include "postprocess/pictures/pressure.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/pictures/panel_name.hpp"
#include "postprocess/pictures/panels.hpp"
#include "postprocess/pictures/plan_lines.hpp"
#include "postprocess/pictures/surface_actor.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/warnings.hpp"
#include "solver/forefoot/sensor_pressure.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>
#include <vtkCamera.h>
#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>

namespace raybend {

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
constexpr Colour unloaded = {255, 255, 255}, ink = {50, 50, 50};
constexpr double least_kpa = 5; // below this the skin counts as unloaded, whatever the scale

/// White without contact, then from light to dark: on white paper dark reads as more.
auto pressure_colour(double top) {
  return [top](double t) { return t * top < least_kpa ? unloaded : sequential_colour(1 - t); };
}

struct Map {
  std::size_t place;
  PatchMesh mesh;              ///< empty if the design did not converge
  std::vector<PlanLine> edges; ///< of support elements and layers
};

/// What all maps cover together, mm.
struct Extent {
  double x_low = inf, x_high = -inf, y_low = inf, y_high = -inf, highest = 0;

  void add(const PatchMesh &mesh) {
    for (const Vec3 &p : mesh.point) {
      x_low = std::min(x_low, p[0]);
      x_high = std::max(x_high, p[0]);
      y_low = std::min(y_low, p[1]);
      y_high = std::max(y_high, p[1]);
    }
    for (double v : mesh.facet)
      highest = std::max(highest, v);
  }
};

void add_map(vtkRenderWindow *window, const Map &map, const Panels &panels, std::size_t i,
             const Extent &extent, double points_per_mm, double top) {
  vtkNew<vtkRenderer> renderer;
  renderer->SetBackground(1, 1, 1);
  renderer->SetViewport(panels.left(i) / panels.width, panels.bottom(i) / panels.height,
                        (panels.left(i) + panels.panel_w) / panels.width,
                        (panels.bottom(i) + panels.panel_h) / panels.height);
  add_surface(renderer, map.mesh, {pressure_colour(top), 0, top}, false);
  add_lines(renderer, facet_borders(map.mesh, least_kpa), ink, 0.7 * png_scale, {0, 0, 0.4});
  add_outline(renderer, map.mesh, ink, 1.5 * png_scale, 0.5);

  vtkCamera *camera = renderer->GetActiveCamera(); // from above, toes up
  const double x = (extent.x_low + extent.x_high) / 2, y = (extent.y_low + extent.y_high) / 2;
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(x, y, 0);
  camera->SetPosition(x, y, 500);
  camera->SetViewUp(1, 0, 0);
  camera->SetParallelScale(panels.panel_h / points_per_mm / 2);
  camera->SetClippingRange(1, 1000);
  window->AddRenderer(renderer);
}

/// Where a place of the plan stands on the page, points.
struct Panel {
  double centre_x, centre_y; ///< of the panel
  const Extent &extent;
  double scale; ///< points in a mm

  Point2 at(double x, double y) const {
    return {centre_x - scale * (y - (extent.y_low + extent.y_high) / 2),
            centre_y + scale * (x - (extent.x_low + extent.x_high) / 2)};
  }
};

/// Where each ray's skin ends distally, on the page.
void ray_numbers(Painter &p, const Map &map, const Panel &panel, int painful) {
  for (int r = 1; r <= 5; ++r) {
    double distal = -inf, y_low = inf, y_high = -inf;
    for (std::size_t q = 0; q < map.mesh.quad.size(); ++q)
      if (map.mesh.ray[q] == r)
        for (std::size_t k : map.mesh.quad[q])
          distal = std::max(distal, map.mesh.point[k][0]);
    for (std::size_t q = 0; q < map.mesh.quad.size(); ++q)
      if (map.mesh.ray[q] == r)
        for (std::size_t k : map.mesh.quad[q])
          if (map.mesh.point[k][0] > distal - 5) {
            y_low = std::min(y_low, map.mesh.point[k][1]);
            y_high = std::max(y_high, map.mesh.point[k][1]);
          }
    if (distal == -inf)
      continue;
    const Point2 tip = panel.at(distal, (y_low + y_high) / 2);
    p.text({tip[0], tip[1] + 11}, std::to_string(r), {14, Align::centre, {30, 30, 30}, r == painful});
  }
}

/// Edges of support elements and layers, readable on any colour.
void insole_edges(Painter &p, const Panel &panel, const std::vector<PlanLine> &edges) {
  for (const PlanLine &edge : edges) {
    std::vector<Point2> points;
    for (const Vec3 &x : edge)
      points.push_back(panel.at(x[0], x[1]));
    p.polyline(points, {{255, 255, 255}, 2.6, {}});
    p.polyline(points, {ink, 1.2, {5, 4}});
  }
}

/// The outline of the sensor that reads a head's peak pressure, true to scale.
void sensor_outline(Painter &p, const Panel &panel, const PlanSquare &square) {
  const Point2 lower_right = panel.at(square.x_low, square.y_low);
  const double side = panel.scale * (square.x_high - square.x_low);
  for (const auto &[colour, width] : {std::pair(Colour{255, 255, 255}, 4.0), {ink, 1.6}})
    p.box(lower_right[0] - side, lower_right[1], side, side, {}, Stroke{colour, width, {}});
}

void labels(Painter &p, const ReportInput &input, const std::vector<Map> &maps, const Panels &panels,
            const Extent &extent, double scale, double top) {
  p.title({24, p.height() - 24}, picture_title("Plantar pressure", input), p.width() - 48);
  const bool left_foot = input.foot.side == Side::left;
  const int painful = input.foot.painful_ray;
  const bool edged = std::any_of(maps.begin(), maps.end(), [](const Map &m) { return !m.edges.empty(); });
  const auto caption =
      p.lines(std::string(left_foot ? "Left" : "Right") +
                  " foot seen from above, toes up; numbers are rays. Each facet is one calculated point" +
                  (is_coarse(input) ? " (coarse mesh: neighbours differ widely)" : "") + "; white: below " +
                  fixed(least_kpa) + " kPa. Square: the " + fixed(sensor_side) + " x " + fixed(sensor_side) +
                  " mm under head " + std::to_string(painful) + " that carry most; the peak is their mean." +
                  (edged ? " Dashed: edges of support elements and of layers that end." : ""),
              p.width() - 48, 3, {14});
  for (std::size_t k = 0; k < caption.size(); ++k)
    p.text({24, p.height() - 48 - 17.0 * k}, caption[k], {14});
  for (std::size_t i = 0; i < maps.size(); ++i) {
    const double cx = panels.left(i) + panels.panel_w / 2, cy = panels.bottom(i) + panels.panel_h / 2;
    panel_name(p, input, maps[i].place, panels, i);
    const DesignResult &result = input.outcomes[maps[i].place].with;
    if (!result.converged)
      continue;
    const Banded &peak = result.ray[painful - 1].head_peak_pressure;
    const bool loaded = peak.value >= least_kpa;
    p.text({cx, panels.bottom(i) + panels.panel_h + 7},
           "head " + std::to_string(painful) +
               (loaded ? " peak " + banded(peak) + " kPa" : " below " + fixed(least_kpa) + " kPa"),
           {14, Align::centre});
    if (maps[i].mesh.quad.empty())
      continue;
    const Panel panel = {cx, cy, extent, scale};
    insole_edges(p, panel, maps[i].edges);
    if (loaded)
      sensor_outline(p, panel, sensor_square(result.ray[painful - 1], left_foot));
    ray_numbers(p, maps[i], panel, painful);
    const double half = scale * (extent.y_high - extent.y_low) / 2;
    const double medial = left_foot ? cx + half + 12 : cx - half - 12, lateral = 2 * cx - medial;
    p.text({medial, cy}, "medial", {13, Align::centre, {70, 70, 70}, false, 90});
    p.text({lateral, cy}, "lateral", {13, Align::centre, {70, 70, 70}, false, 90});
  }
  const double bar_h = std::min(300.0, p.height() - 200);
  colour_bar(p, p.width() - 92, (p.height() - bar_h) / 2 - 20, 20, bar_h, 0, top, pressure_colour(top), "kPa",
             0, extent.highest);

  const double x = 24, y = 22, length = 20 * scale;
  p.line({x, y}, {x + length, y}, {{30, 30, 30}, 2, {}});
  for (double end : {x, x + length})
    p.line({end, y - 4}, {end, y + 4}, {{30, 30, 30}, 2, {}});
  p.text({x + length + 8, y}, "20 mm", {14});
}

} // namespace

PlanSquare sensor_square(const RayResult &ray, bool mirror_y) {
  const double x = ray.head_sensor[0], y = mirror_y ? -ray.head_sensor[1] : ray.head_sensor[1];
  return {x - sensor_side / 2, x + sensor_side / 2, y - sensor_side / 2, y + sensor_side / 2};
}

double pressure_scale_top(const ReportInput &input, double highest) {
  for (const DesignOutcome &o : input.outcomes)
    if (o.with.converged)
      for (const RayResult &ray : o.with.ray)
        if (std::isfinite(ray.head_peak_pressure.value))
          highest = std::max(highest, ray.head_peak_pressure.value);
  return round_up(highest);
}

bool write_pressure_maps(const ReportInput &input, const std::string &path, std::vector<Label> *words) {
  std::vector<Map> maps;
  Extent extent;
  bool any = false;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    maps.push_back({i, {}, {}});
    if (const DesignResult &result = input.outcomes[i].with; result.converged && !result.plantar.empty()) {
      maps.back().mesh = join_patches(result.plantar, true, input.foot.side == Side::left);
      extent.add(maps.back().mesh);
      if (!input.activity.activity.barefoot)
        maps.back().edges = plan_lines(input.foot, input.outcomes[i].design, input.foot.side == Side::left);
      any = true;
    }
  }
  if (!any)
    return false;

  const double top = pressure_scale_top(input, extent.highest);
  const double across = extent.y_high - extent.y_low, along = extent.x_high - extent.x_low;
  const double scale = std::min(300 / std::max(across, 1.0), 360 / std::max(along, 1.0)); // points in a mm
  const Panels panels(maps.size(), std::max(240.0, scale * across + 60), scale * along + 44, 77);

  vtkNew<vtkRenderWindow> window;
  prepare_window(window, panels.width, panels.height);
  vtkNew<vtkRenderer> page; // white where there is no panel
  page->SetBackground(1, 1, 1);
  window->AddRenderer(page);
  for (std::size_t i = 0; i < maps.size(); ++i)
    if (!maps[i].mesh.quad.empty())
      add_map(window, maps[i], panels, i, extent, scale, top);
  add_overlay(
      window, [&](Painter &p) { labels(p, input, maps, panels, extent, scale, top); }, panels.width,
      panels.height, words);
  write_window(window, path);
  return true;
}

} // namespace raybend
