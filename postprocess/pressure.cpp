#include "postprocess/pressure.hpp"
#include "postprocess/axes.hpp"
#include "postprocess/canvas.hpp"
#include "postprocess/number_text.hpp"
#include "postprocess/panels.hpp"
#include "postprocess/surface_actor.hpp"
#include "postprocess/text_table.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <vtkCamera.h>
#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>

namespace raybend {

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
constexpr Colour unloaded = {228, 228, 228}, ink = {50, 50, 50};
constexpr double least_kpa = 5; // below this the skin counts as unloaded, whatever the scale

/// Grey without contact, then from light to dark: on white paper dark reads as more.
auto pressure_colour(double top) {
  return [top](double t) { return t * top < least_kpa ? unloaded : sequential_colour(1 - t); };
}

struct Map {
  const DesignOutcome *outcome;
  PatchMesh mesh;
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
    for (double v : mesh.value)
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

/// Where each ray's skin ends distally, on the page.
void ray_numbers(Painter &p, const Map &map, double centre_x, double centre_y, const Extent &extent,
                 double scale, int painful) {
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
    const double x = centre_x - scale * ((y_low + y_high) / 2 - (extent.y_low + extent.y_high) / 2);
    const double y = centre_y + scale * (distal - (extent.x_low + extent.x_high) / 2) + 11;
    p.text({x, y}, std::to_string(r), {13, Align::centre, {30, 30, 30}, r == painful});
  }
}

void labels(Painter &p, const ReportInput &input, const std::vector<Map> &maps, const Panels &panels,
            const Extent &extent, double scale, double top) {
  const std::string force = fixed(vertical_force(input.activity, input.foot.body_mass_kg));
  p.text({24, p.height() - 24},
         "Plantar pressure, " + one_line(input.activity.words()) + ", " + force + " N on forefoot and toes",
         {19, Align::left, {20, 20, 20}, true});
  const bool left_foot = input.foot.side == Side::left;
  p.text({24, p.height() - 48},
         std::string(left_foot ? "Left" : "Right") +
             " foot seen from above, toes up; numbers are rays; grey: below " + fixed(least_kpa) + " kPa.",
         {13});
  const int painful = input.foot.painful_ray;
  for (std::size_t i = 0; i < maps.size(); ++i) {
    const double cx = panels.left(i) + panels.panel_w / 2, cy = panels.bottom(i) + panels.panel_h / 2;
    const double name_y = panels.bottom(i) + panels.panel_h;
    const TextStyle name_style{14, Align::centre, {20, 20, 20}, true};
    const auto lines =
        p.lines(one_line(maps[i].outcome->name_for_people()), panels.panel_w - 16, 2, name_style);
    for (std::size_t k = 0; k < lines.size(); ++k)
      p.text({cx, name_y + 26 + 17.0 * (lines.size() - 1 - k)}, lines[k], name_style);
    p.text({cx, name_y + 7},
           "head " + std::to_string(painful) + " peak " +
               banded(maps[i].outcome->with.ray[painful - 1].head_peak_pressure) + " kPa",
           {12, Align::centre});
    ray_numbers(p, maps[i], cx, cy, extent, scale, painful);
    const double half = scale * (extent.y_high - extent.y_low) / 2;
    const double medial = left_foot ? cx + half + 12 : cx - half - 12, lateral = 2 * cx - medial;
    p.text({medial, cy}, "medial", {12, Align::centre, {70, 70, 70}, false, 90});
    p.text({lateral, cy}, "lateral", {12, Align::centre, {70, 70, 70}, false, 90});
  }
  const double bar_h = std::min(300.0, p.height() - 200);
  colour_bar(p, p.width() - 92, (p.height() - bar_h) / 2 - 20, 20, bar_h, 0, top, pressure_colour(top), "kPa",
             0, extent.highest);

  const double x = 24, y = 22, length = 20 * scale;
  p.line({x, y}, {x + length, y}, {{30, 30, 30}, 2, {}});
  for (double end : {x, x + length})
    p.line({end, y - 4}, {end, y + 4}, {{30, 30, 30}, 2, {}});
  p.text({x + length + 8, y}, "20 mm", {12});
}

} // namespace

double pressure_scale_top(const ReportInput &input, double highest) {
  for (const DesignOutcome &o : input.outcomes)
    if (o.with.converged)
      for (const RayResult &ray : o.with.ray)
        if (std::isfinite(ray.head_peak_pressure.value))
          highest = std::max(highest, ray.head_peak_pressure.value);
  return round_up(highest);
}

bool write_pressure_maps(const ReportInput &input, const std::string &path) {
  std::vector<Map> maps;
  Extent extent;
  for (const DesignOutcome &o : input.outcomes)
    if (o.with.converged && !o.with.plantar.empty()) {
      maps.push_back({&o, join_patches(o.with.plantar, true, input.foot.side == Side::left)});
      extent.add(maps.back().mesh);
    }
  if (maps.empty())
    return false;

  const double top = pressure_scale_top(input, extent.highest);
  const double across = extent.y_high - extent.y_low, along = extent.x_high - extent.x_low;
  const double scale = std::min(300 / std::max(across, 1.0), 360 / std::max(along, 1.0)); // points in a mm
  const Panels panels(maps.size(), std::max(240.0, scale * across + 60), scale * along + 44, 60);

  vtkNew<vtkRenderWindow> window;
  prepare_window(window, panels.width, panels.height);
  vtkNew<vtkRenderer> page; // white where there is no panel
  page->SetBackground(1, 1, 1);
  window->AddRenderer(page);
  for (std::size_t i = 0; i < maps.size(); ++i)
    add_map(window, maps[i], panels, i, extent, scale, top);
  add_overlay(
      window, [&](Painter &p) { labels(p, input, maps, panels, extent, scale, top); }, panels.width,
      panels.height);
  write_window(window, path);
  return true;
}

} // namespace raybend
