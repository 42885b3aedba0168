// The five metatarsals in 3D, coloured by the stress along each ray: from above and from below, all designs from the
// same two cameras on one scale.
#include "postprocess/pictures/bones_view.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/pictures/panel_name.hpp"
#include "postprocess/pictures/panels.hpp"
#include "postprocess/pictures/surface_actor.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
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

/// The bones of one design.
struct Bones {
  std::size_t place;
  PatchMesh mesh; ///< empty if the design did not converge
};

constexpr Colour line_ink = {40, 40, 40};
constexpr double zero_width = 1.6, tension_width = 0.8; // points

enum class From { above, below };

/// One parallel camera: unit vectors right, up and towards the eye, and the middle of what is seen.
struct Frame {
  Vec3 right, up, eye, centre{};
  double half_w = 0, half_h = 0; ///< mm

  /// The eye stands proximal and medial of the foot, above it or below it: the dorsal or the plantar sides in
  /// full view, heads pointing away.
  Frame(From from, bool left_foot, const std::vector<Bones> &all) {
    const double side = left_foot ? -1 : 1, height = from == From::above ? 1 : -1;
    eye = unit(Vec3{-0.30, 0.30 * side, height});
    right = unit(cross(Vec3{1, 0, 0}, eye)); // toes up, as in the pressure maps
    up = cross(eye, right);
    fit(all);
  }

  void fit(const std::vector<Bones> &all) {
    std::array<double, 3> low = {inf, inf, inf}, high = {-inf, -inf, -inf};
    for (const Bones &bones : all)
      for (const Vec3 &x : bones.mesh.point) {
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

/// Of all points of all bones.
double limit_of(const std::vector<Bones> &all) {
  std::vector<double> values;
  for (const Bones &bones : all)
    values.insert(values.end(), bones.mesh.value.begin(), bones.mesh.value.end());
  return stress_limit(values);
}

/// The page: each design's panel holds the bones from above and, below that, from below.
struct Page {
  std::array<Frame, 2> frames; ///< as From counts
  double scale = 1;            ///< points in a mm, in all views
  double view_h = 0;           ///< height of one view without its words, points
  Panels panels;
  double limit = 0;                                  ///< MPa, end of the colour scale
  static constexpr double words_h = 24, margin = 27; ///< the margin holds the numbers of the rays

  Page(const std::vector<Bones> &all, bool left_foot)
      : frames{Frame(From::above, left_foot, all), Frame(From::below, left_foot, all)},
        scale(std::min(300 / (2 * half(&Frame::half_w)), 340 / (2 * half(&Frame::half_h)))),
        view_h(2 * scale * half(&Frame::half_h) + 2 * margin),
        panels(all.size(), std::max(240.0, 2 * scale * half(&Frame::half_w) + 40), 2 * (view_h + words_h),
               77),
        limit(limit_of(all)) {}

  /// The larger of the two frames' sizes.
  double half(double Frame::*size) const { return std::max(frames[0].*size, frames[1].*size); }

  double bottom(std::size_t design, From from) const {
    return panels.bottom(design) + (from == From::above ? view_h + words_h : 0);
  }
  const Frame &frame(From from) const { return frames[static_cast<int>(from)]; }
};

void add_view(vtkRenderWindow *window, const Bones &bones, const Page &page, std::size_t i, From from) {
  const Panels &panels = page.panels;
  const Frame &frame = page.frame(from);
  const double bottom = page.bottom(i, from);
  vtkNew<vtkRenderer> renderer;
  renderer->SetBackground(1, 1, 1);
  renderer->SetViewport(panels.left(i) / panels.width, bottom / panels.height,
                        (panels.left(i) + panels.panel_w) / panels.width,
                        (bottom + page.view_h) / panels.height);
  add_surface(renderer, bones.mesh, {stress_colour, -page.limit, page.limit}, true);
  for (double level : tension_levels(page.limit))
    add_lines(renderer, level_lines(bones.mesh, level, least_tension(page.limit)), line_ink,
              png_scale * (level == 0 ? zero_width : tension_width), 0.4 * frame.eye);

  vtkCamera *camera = renderer->GetActiveCamera();
  constexpr double away = 400;
  const Vec3 eye = frame.centre + away * frame.eye;
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(frame.centre.data());
  camera->SetPosition(eye.data());
  camera->SetViewUp(frame.up.data());
  camera->SetParallelScale(page.view_h / page.scale / 2);
  camera->SetClippingRange(1, 2 * away);

  // A main light from the left of the page and a weak one from the right: form without losing colour. The
  // bones sink towards their heads, which turns their plantar sides away from a light at the page's top.
  renderer->AutomaticLightCreationOff();
  for (const auto &[right, up, strength] :
       {std::array<double, 3>{-0.7, from == From::above ? 0.6 : 0, 0.8}, {0.9, -0.2, 0.35}}) {
    const Vec3 lamp = frame.centre + 300.0 * (right * frame.right + up * frame.up + frame.eye);
    vtkNew<vtkLight> light;
    light->SetLightTypeToSceneLight();
    light->SetPosition(lamp[0], lamp[1], lamp[2]);
    light->SetFocalPoint(frame.centre[0], frame.centre[1], frame.centre[2]);
    light->SetIntensity(strength);
    renderer->AddLight(light);
  }
  window->AddRenderer(renderer);
}

/// Ray numbers just beyond the heads, on the page.
void ray_numbers(Painter &p, const Bones &bones, double cx, double cy, const Frame &frame, double scale,
                 int painful) {
  for (int r = 1; r <= 5; ++r) {
    double top = -inf, at = 0;
    for (std::size_t q = 0; q < bones.mesh.quad.size(); ++q)
      if (bones.mesh.ray[q] == r)
        for (std::size_t k : bones.mesh.quad[q]) {
          const Vec3 from_centre = bones.mesh.point[k] - frame.centre;
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

void labels(Painter &p, const ReportInput &input, const std::vector<Bones> &all, const Page &page) {
  const Panels &panels = page.panels;
  const double limit = page.limit;
  p.title({24, p.height() - 24}, picture_title("Stress along the metatarsals", input), p.width() - 48);
  const auto caption =
      p.lines(std::string(input.foot.side == Side::left ? "Left" : "Right") +
                  " foot from above and from below, toes up; numbers are rays. Blue: compression, without "
                  "lines. Orange: "
                  "tension, with a line at every number of the scale and a thick border where it exceeds " +
                  exact(least_tension(limit)) + " MPa.",
              p.width() - 48, 2, {14});
  for (std::size_t k = 0; k < caption.size(); ++k)
    p.text({24, p.height() - 48 - 17.0 * k}, caption[k], {14});
  const int painful = input.foot.painful_ray;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const double cx = panels.left(i) + panels.panel_w / 2;
    panel_name(p, input, all[i].place, panels, i);
    const DesignResult &result = input.outcomes[all[i].place].with;
    if (!result.converged)
      continue;
    p.text({cx, panels.bottom(i) + panels.panel_h + 7},
           "ray " + std::to_string(painful) + " bending " +
               banded(result.ray[painful - 1].peak_bending_stress, 1) + " MPa",
           {14, Align::centre});
    for (const From from : {From::above, From::below}) {
      const double bottom = page.bottom(i, from);
      p.text({cx, bottom + page.view_h + Page::words_h / 2 - 4},
             from == From::above ? "from above (dorsal)" : "from below (plantar)",
             {13, Align::centre, {70, 70, 70}});
      ray_numbers(p, all[i], cx, bottom + page.view_h / 2, page.frame(from), page.scale, painful);
    }
  }
  const double bar_h = std::min(300.0, p.height() - 200);
  const double bar_x = p.width() - 92, bar_y = (p.height() - bar_h) / 2 - 20, bar_w = 20;
  double least = 0, largest = 0;
  for (const Bones &bones : all)
    for (double v : bones.mesh.value) {
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

double stress_limit(const std::vector<double> &values) {
  std::vector<double> sizes;
  for (double v : values)
    if (std::isfinite(v))
      sizes.push_back(std::abs(v));
  if (sizes.empty())
    return 1;
  std::sort(sizes.begin(), sizes.end());
  return round_up(sizes[static_cast<std::size_t>(0.995 * (sizes.size() - 1))]);
}

double least_tension(double limit) {
  return limit / 10;
}

bool write_bones_view(const ReportInput &input, const std::string &path, std::vector<Label> *words) {
  const bool left_foot = input.foot.side == Side::left;
  std::vector<Bones> all;
  bool any = false;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    all.push_back({i, {}});
    if (const DesignResult &result = input.outcomes[i].with; result.converged && !result.bones.empty()) {
      all.back().mesh = join_patches(result.bones, false, left_foot);
      any = true;
    }
  }
  if (!any)
    return false;

  const Page page(all, left_foot);
  vtkNew<vtkRenderWindow> window;
  prepare_window(window, page.panels.width, page.panels.height);
  vtkNew<vtkRenderer> paper;
  paper->SetBackground(1, 1, 1);
  window->AddRenderer(paper);
  for (std::size_t i = 0; i < all.size(); ++i)
    if (!all[i].mesh.quad.empty())
      for (const From from : {From::above, From::below})
        add_view(window, all[i], page, i, from);
  add_overlay(
      window, [&](Painter &p) { labels(p, input, all, page); }, page.panels.width, page.panels.height, words);
  write_window(window, path);
  return true;
}

} // namespace raybend
