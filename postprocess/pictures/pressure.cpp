// Plantar pressure seen from above, a row a design: the pressure, and what of it differs from the reference.
#include "postprocess/pictures/pressure.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/pictures/plan_lines.hpp"
#include "postprocess/pictures/rows.hpp"
#include "postprocess/pictures/surface_actor.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
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

/// Less or more pressure than with the reference; changes too small to count stay white.
auto change_colour(double limit) {
  return [limit](double t) {
    return std::abs(2 * t - 1) * limit < least_kpa ? unloaded : diverging_colour(2 * t - 1);
  };
}

struct Map {
  PatchMesh mesh,
      against; ///< pressure; how much more than with the reference; without facets: nothing to show
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

/// The end of a scale of changes, kPa.
double change_limit(const std::vector<Map> &maps) {
  double largest = 0;
  for (const Map &map : maps)
    for (const double v : map.against.facet)
      largest = std::max(largest, std::abs(v));
  return round_up(largest);
}

void add_map(vtkRenderWindow *window, const PatchMesh &mesh, const Rows &rows, std::size_t row,
             std::size_t column, const Extent &extent, double points_per_mm, const ValueScale &scale) {
  vtkNew<vtkRenderer> renderer;
  renderer->SetBackground(1, 1, 1);
  renderer->SetViewport(rows.left(column) / rows.width, rows.bottom(row) / rows.height,
                        (rows.left(column) + rows.view_w) / rows.width,
                        (rows.bottom(row) + rows.view_h) / rows.height);
  add_surface(renderer, mesh, scale, false);
  if (column == 0)
    add_lines(renderer, facet_borders(mesh, least_kpa), ink, 0.7 * png_scale, {0, 0, 0.4});
  add_outline(renderer, mesh, ink, 1.5 * png_scale, 0.5);

  vtkCamera *camera = renderer->GetActiveCamera(); // from above, toes up
  const double x = (extent.x_low + extent.x_high) / 2, y = (extent.y_low + extent.y_high) / 2;
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(x, y, 0);
  camera->SetPosition(x, y, 500);
  camera->SetViewUp(1, 0, 0);
  camera->SetParallelScale(rows.view_h / points_per_mm / 2);
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

void labels(Painter &p, const ReportInput &input, const std::vector<Map> &maps, const Rows &rows,
            const Extent &extent, double scale, double top) {
  const bool left_foot = input.foot.side == Side::left, against = rows.columns > 1;
  const int painful = input.foot.painful_ray;
  const std::size_t reference = reference_place(input);
  const std::string letter = design_letter(reference), head = std::to_string(painful);
  const bool edged = std::any_of(maps.begin(), maps.end(), [](const Map &m) { return !m.edges.empty(); });
  rows_title(p, pressure_title(input),
             picture_topic("Plantar pressure", input) + ". " + (left_foot ? "Left" : "Right") +
                 " foot seen from above, toes up; numbers are rays. Each facet is one calculated point" +
                 (is_coarse(input) ? " (coarse mesh: neighbours differ widely)" : "") +
                 (has_course(input) ? ", its largest over the step" : "") + "; white: below " +
                 fixed(least_kpa) + " kPa. Square: the " + fixed(sensor_side) + " x " + fixed(sensor_side) +
                 " mm under head " + head + " that carry most; the peak is their mean." +
                 (edged ? " Dashed: edges of support elements and of layers that end." : ""));
  rows_scale(p, rows, 0, 1, "Pressure, kPa", {0, top, 0, extent.highest, pressure_colour(top), {}});
  if (against) {
    const double limit = change_limit(maps);
    rows_scale(p, rows, 1, 1, "More than with " + letter + ", kPa",
               {-limit, limit, -limit, limit, change_colour(limit), {}});
  }
  for (std::size_t i = 0; i < maps.size(); ++i) {
    const DesignResult &result = input.outcomes[i].with;
    const auto pressure = [&](const DesignResult &r) { return r.ray[painful - 1].head_peak_pressure; };
    const bool loaded = result.converged && pressure(result).value >= least_kpa;
    std::vector<std::string> numbers;
    if (loaded)
      numbers = {"head " + head + " peak", banded(pressure(result)) + " kPa"};
    else if (result.converged)
      numbers = {"head " + head + " below " + fixed(least_kpa) + " kPa"};
    if (loaded && against)
      numbers.push_back(to_reference(input, i, pressure));
    row_name(p, input, rows, i, numbers);
    if (maps[i].mesh.quad.empty())
      continue;
    const double cy = rows.bottom(i) + rows.view_h / 2;
    for (std::size_t column = 0; column < rows.columns; ++column) {
      if (column == 1 && i == reference) {
        reference_words(p, rows, i, 1,
                        letter +
                            " is the reference. In the other rows this place shows where the skin bears more "
                            "pressure than with " +
                            letter + " (orange) and where less (blue).");
        continue;
      }
      const double cx = rows.left(column) + rows.view_w / 2;
      const Panel panel = {cx, cy, extent, scale};
      insole_edges(p, panel, maps[i].edges);
      if (loaded && column == 0)
        sensor_outline(p, panel, sensor_square(result.ray[painful - 1], left_foot));
      ray_numbers(p, maps[i], panel, painful);
      const double half = scale * (extent.y_high - extent.y_low) / 2;
      const double medial = left_foot ? cx + half + 12 : cx - half - 12, lateral = 2 * cx - medial;
      p.text({medial, cy}, "medial", {13, Align::centre, {70, 70, 70}, false, 90});
      p.text({lateral, cy}, "lateral", {13, Align::centre, {70, 70, 70}, false, 90});
    }
  }
  const double x = Rows::margin, y = 22, length = 20 * scale;
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
  const bool left_foot = input.foot.side == Side::left;
  const std::size_t reference = reference_place(input);
  const auto drawn = [&](const std::size_t i) {
    return input.outcomes[i].with.converged && !input.outcomes[i].with.plantar.empty();
  };
  std::vector<Map> maps(input.outcomes.size());
  Extent extent;
  bool any = false, against = false;
  for (std::size_t i = 0; i < maps.size(); ++i)
    if (drawn(i)) {
      const std::vector<Patch> &skin = input.outcomes[i].with.plantar;
      maps[i].mesh = join_patches(skin, true, left_foot);
      extent.add(maps[i].mesh);
      if (!input.activity.activity.barefoot)
        maps[i].edges = plan_lines(input.foot, input.outcomes[i].design, left_foot);
      any = true;
      if (i != reference && drawn(reference)) {
        maps[i].against =
            join_patches(patches_against(skin, input.outcomes[reference].with.plantar), true, left_foot);
        against = true;
      }
    }
  if (!any)
    return false;

  const double top = pressure_scale_top(input, extent.highest), limit = change_limit(maps);
  const double across = extent.y_high - extent.y_low, along = extent.x_high - extent.x_low;
  const double scale = std::min(240 / std::max(across, 1.0), 280 / std::max(along, 1.0)); // points in a mm
  const Rows rows(maps.size(), against ? 2 : 1, std::max(against ? 300.0 : 500.0, scale * across + 60),
                  scale * along + 44);

  vtkNew<vtkRenderWindow> window;
  prepare_window(window, rows.width, rows.height);
  vtkNew<vtkRenderer> page; // white where there is no map
  page->SetBackground(1, 1, 1);
  window->AddRenderer(page);
  for (std::size_t i = 0; i < maps.size(); ++i) {
    if (!maps[i].mesh.quad.empty())
      add_map(window, maps[i].mesh, rows, i, 0, extent, scale, {pressure_colour(top), 0, top});
    if (!maps[i].against.quad.empty())
      add_map(window, maps[i].against, rows, i, 1, extent, scale, {change_colour(limit), -limit, limit});
  }
  add_overlay(
      window, [&](Painter &p) { labels(p, input, maps, rows, extent, scale, top); }, rows.width, rows.height,
      words);
  write_window(window, path);
  return true;
}

} // namespace raybend
