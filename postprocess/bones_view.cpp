#include "postprocess/bones_view.hpp"
#include "postprocess/axes.hpp"
#include "postprocess/canvas.hpp"
#include "postprocess/number_text.hpp"
#include "postprocess/panel_name.hpp"
#include "postprocess/panels.hpp"
#include "postprocess/picture_words.hpp"
#include "postprocess/surface_actor.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <vtkCamera.h>
#include <vtkLight.h>
#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>

namespace raybend {

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();

Colour stress_colour(double t) {
  return diverging_colour(2 * t - 1);
}

struct View {
  std::size_t place;
  PatchMesh mesh; ///< empty if the design did not converge
};

constexpr Colour line_ink = {40, 40, 40};
constexpr double zero_width = 1.6, tension_width = 0.8; // points

/// One parallel camera: unit vectors right, up and towards the eye, and the middle of what is seen.
struct Frame {
  Vec3 right, up, eye, centre{};
  double half_w = 0, half_h = 0; ///< mm

  /// The eye stands proximal of, above and medial of the foot: dorsal sides in full view, heads pointing
  /// away.
  explicit Frame(bool left_foot) {
    const double side = left_foot ? -1 : 1;
    eye = unit(Vec3{-0.30, 0.30 * side, 1.0});
    right = unit(cross(Vec3{1, 0, 0}, eye)); // toes up, as in the pressure maps
    up = cross(eye, right);
  }

  void fit(const std::vector<View> &views) {
    std::array<double, 3> low = {inf, inf, inf}, high = {-inf, -inf, -inf};
    for (const View &view : views)
      for (const Vec3 &x : view.mesh.point) {
        const std::array<double, 3> seen = {dot(x, right), dot(x, up), dot(x, eye)};
        for (int d = 0; d < 3; ++d) {
          low[d] = std::min(low[d], seen[d]);
          high[d] = std::max(high[d], seen[d]);
        }
      }
    centre =
        0.5 * (low[0] + high[0]) * right + 0.5 * (low[1] + high[1]) * up + 0.5 * (low[2] + high[2]) * eye;
    half_w = std::max(1.0, (high[0] - low[0]) / 2);
    half_h = std::max(1.0, (high[1] - low[1]) / 2);
  }
};

/// Largest magnitude but for the top half percent, so that a lone spot does not bleach the rest.
double stress_limit(const std::vector<View> &views) {
  std::vector<double> sizes;
  for (const View &view : views)
    for (double v : view.mesh.value)
      if (std::isfinite(v))
        sizes.push_back(std::abs(v));
  if (sizes.empty())
    return 1;
  std::sort(sizes.begin(), sizes.end());
  return round_up(sizes[static_cast<std::size_t>(0.995 * (sizes.size() - 1))]);
}

void add_view(vtkRenderWindow *window, const View &view, const Panels &panels, std::size_t i,
              const Frame &frame, double scale, double limit) {
  vtkNew<vtkRenderer> renderer;
  renderer->SetBackground(1, 1, 1);
  renderer->SetViewport(panels.left(i) / panels.width, panels.bottom(i) / panels.height,
                        (panels.left(i) + panels.panel_w) / panels.width,
                        (panels.bottom(i) + panels.panel_h) / panels.height);
  add_surface(renderer, view.mesh, {stress_colour, -limit, limit}, true);
  for (double level : tension_levels(limit))
    add_lines(renderer, level_lines(view.mesh, level, least_tension(limit)), line_ink,
              png_scale * (level == 0 ? zero_width : tension_width), 0.4 * frame.eye);

  vtkCamera *camera = renderer->GetActiveCamera();
  constexpr double away = 400;
  const Vec3 eye = frame.centre + away * frame.eye;
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(frame.centre.data());
  camera->SetPosition(eye.data());
  camera->SetViewUp(frame.up.data());
  camera->SetParallelScale(panels.panel_h / scale / 2);
  camera->SetClippingRange(1, 2 * away);

  // A main light from the upper left of the page and a weak one from the right: form without losing colour.
  renderer->AutomaticLightCreationOff();
  for (const auto &[right, up, strength] : {std::array<double, 3>{-0.7, 0.6, 0.8}, {0.9, -0.2, 0.35}}) {
    const Vec3 from = frame.centre + 300.0 * (right * frame.right + up * frame.up + frame.eye);
    vtkNew<vtkLight> light;
    light->SetLightTypeToSceneLight();
    light->SetPosition(from[0], from[1], from[2]);
    light->SetFocalPoint(frame.centre[0], frame.centre[1], frame.centre[2]);
    light->SetIntensity(strength);
    renderer->AddLight(light);
  }
  window->AddRenderer(renderer);
}

/// Ray numbers just beyond the heads, on the page.
void ray_numbers(Painter &p, const View &view, double cx, double cy, const Frame &frame, double scale,
                 int painful) {
  for (int r = 1; r <= 5; ++r) {
    double top = -inf, at = 0;
    for (std::size_t q = 0; q < view.mesh.quad.size(); ++q)
      if (view.mesh.ray[q] == r)
        for (std::size_t k : view.mesh.quad[q]) {
          const Vec3 from_centre = view.mesh.point[k] - frame.centre;
          if (dot(from_centre, frame.up) > top) {
            top = dot(from_centre, frame.up);
            at = dot(from_centre, frame.right);
          }
        }
    if (top > -inf)
      p.text({cx + scale * at, cy + scale * top + 12}, std::to_string(r),
             {14, Align::centre, {30, 30, 30}, r == painful});
  }
}

void labels(Painter &p, const ReportInput &input, const std::vector<View> &views, const Panels &panels,
            const Frame &frame, double scale, double limit) {
  p.title({24, p.height() - 24}, picture_title("Stress along the metatarsals", input), p.width() - 48);
  const auto caption =
      p.lines(std::string(input.foot.side == Side::left ? "Left" : "Right") +
                  " foot, dorsal side, toes up; numbers are rays. Blue: compression, without lines. Orange: "
                  "tension, with a line at every number of the scale and a thick border where it exceeds " +
                  exact(least_tension(limit)) + " MPa.",
              p.width() - 48, 2, {14});
  for (std::size_t k = 0; k < caption.size(); ++k)
    p.text({24, p.height() - 48 - 17.0 * k}, caption[k], {14});
  const int painful = input.foot.painful_ray;
  for (std::size_t i = 0; i < views.size(); ++i) {
    const double cx = panels.left(i) + panels.panel_w / 2, cy = panels.bottom(i) + panels.panel_h / 2;
    panel_name(p, input, views[i].place, panels, i);
    const DesignResult &result = input.outcomes[views[i].place].with;
    if (!result.converged)
      continue;
    p.text({cx, panels.bottom(i) + panels.panel_h + 7},
           "ray " + std::to_string(painful) + " bending " +
               banded(result.ray[painful - 1].peak_bending_stress, 1) + " MPa",
           {14, Align::centre});
    ray_numbers(p, views[i], cx, cy, frame, scale, painful);
  }
  const double bar_h = std::min(300.0, p.height() - 200);
  const double bar_x = p.width() - 92, bar_y = (p.height() - bar_h) / 2 - 20, bar_w = 20;
  double least = 0, largest = 0;
  for (const View &view : views)
    for (double v : view.mesh.value) {
      least = std::min(least, v);
      largest = std::max(largest, v);
    }
  colour_bar(p, bar_x, bar_y, bar_w, bar_h, -limit, limit, stress_colour, "MPa", least, largest);
  for (double level : tension_levels(limit)) {
    const double at = bar_y + bar_h * (level + limit) / (2 * limit);
    p.line({bar_x, at}, {bar_x + bar_w, at}, {line_ink, level == 0 ? zero_width : tension_width, {}});
  }
}

} // namespace

std::vector<double> tension_levels(double limit) {
  std::vector<double> levels = round_ticks(-limit, limit, 8);
  const auto bare = [limit](double level) { return level < 0 || level >= limit; };
  levels.erase(std::remove_if(levels.begin(), levels.end(), bare), levels.end());
  return levels;
}

double least_tension(double limit) {
  return limit / 10;
}

bool write_bones_view(const ReportInput &input, const std::string &path, std::vector<Label> *words) {
  const bool left_foot = input.foot.side == Side::left;
  std::vector<View> views;
  bool any = false;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    views.push_back({i, {}});
    if (const DesignResult &result = input.outcomes[i].with; result.converged && !result.bones.empty()) {
      views.back().mesh = join_patches(result.bones, false, left_foot);
      any = true;
    }
  }
  if (!any)
    return false;

  Frame frame(left_foot);
  frame.fit(views);
  const double limit = stress_limit(views);
  const double scale = std::min(300 / (2 * frame.half_w), 340 / (2 * frame.half_h)); // points in a mm
  const Panels panels(views.size(), std::max(240.0, 2 * scale * frame.half_w + 40),
                      2 * scale * frame.half_h + 54, 77);

  vtkNew<vtkRenderWindow> window;
  prepare_window(window, panels.width, panels.height);
  vtkNew<vtkRenderer> page;
  page->SetBackground(1, 1, 1);
  window->AddRenderer(page);
  for (std::size_t i = 0; i < views.size(); ++i)
    if (!views[i].mesh.quad.empty())
      add_view(window, views[i], panels, i, frame, scale, limit);
  add_overlay(
      window, [&](Painter &p) { labels(p, input, views, panels, frame, scale, limit); }, panels.width,
      panels.height, words);
  write_window(window, path);
  return true;
}

} // namespace raybend
