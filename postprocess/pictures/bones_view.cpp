// The five metatarsals in 3D, a row a design: from above and from below, coloured by the stress along each ray and by
// what of it differs from the reference; the same two cameras and scales for all.
#include "postprocess/pictures/bones_view.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/pictures/rows.hpp"
#include "postprocess/pictures/surface_actor.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
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

/// The bones of one design; without points if there is nothing to show.
struct Bones {
  PatchMesh stress, against; ///< `against`: how much more they are stressed than with the reference
};

constexpr Colour line_ink = {40, 40, 40};
constexpr double border_width = 1.6, tension_width = 0.8; // points

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
      for (const Vec3 &x : bones.stress.point) {
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

/// The values of one mesh of all designs.
struct Values {
  double limit, least = 0, largest = 0;         ///< MPa; `limit`: end of the colour scale
  std::vector<std::pair<double, double>> lines; ///< levels and widths

  /// `border`: where the thick line round what is orange runs, in parts of least_tension. A difference about zero is
  /// noise of the mesh.
  Values(const std::vector<Bones> &all, PatchMesh Bones::*mesh, const double border) {
    std::vector<double> values;
    for (const Bones &bones : all)
      for (const double v : (bones.*mesh).value) {
        values.push_back(v);
        least = std::min(least, v);
        largest = std::max(largest, v);
      }
    limit = stress_limit(values);
    lines = {{border * least_tension(limit), border_width}};
    for (const double level : tension_levels(limit))
      if (level > 0)
        lines.push_back({level, tension_width});
  }
};

/// The page: of each design the bones from above and from below, and the same twice against the reference.
struct Page {
  std::array<Frame, 2> frames;  ///< as From counts
  double scale;                 ///< points in a mm, in all views
  std::array<Values, 2> values; ///< the stress; against the reference
  Rows rows;
  static constexpr double margin = 27; ///< holds the numbers of the rays

  Page(const std::vector<Bones> &all, bool left_foot, bool against)
      : frames{Frame(From::above, left_foot, all), Frame(From::below, left_foot, all)},
        scale(std::min(210 / (2 * half(&Frame::half_w)), 230 / (2 * half(&Frame::half_h)))),
        values{Values(all, &Bones::stress, 0), Values(all, &Bones::against, 1)},
        rows(all.size(), against ? 4 : 2,
             std::max(against ? 180.0 : 300.0, 2 * scale * half(&Frame::half_w) + 24),
             2 * scale * half(&Frame::half_h) + 2 * margin) {}

  /// The larger of the two frames' sizes.
  double half(double Frame::*size) const { return std::max(frames[0].*size, frames[1].*size); }
};

void add_view(vtkRenderWindow *window, const PatchMesh &bones, const Page &page, std::size_t row,
              std::size_t column) {
  const Rows &rows = page.rows;
  const From from = column % 2 == 0 ? From::above : From::below;
  const Frame &frame = page.frames[column % 2];
  const double limit = page.values[column / 2].limit;
  vtkNew<vtkRenderer> renderer;
  renderer->SetBackground(1, 1, 1);
  renderer->SetViewport(rows.left(column) / rows.width, rows.bottom(row) / rows.height,
                        (rows.left(column) + rows.view_w) / rows.width,
                        (rows.bottom(row) + rows.view_h) / rows.height);
  add_surface(renderer, bones, {stress_colour, -limit, limit}, true);
  for (const auto &[level, width] : page.values[column / 2].lines)
    add_lines(renderer, level_lines(bones, level, least_tension(limit)), line_ink, png_scale * width,
              0.4 * frame.eye);

  vtkCamera *camera = renderer->GetActiveCamera();
  constexpr double away = 400;
  const Vec3 eye = frame.centre + away * frame.eye;
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(frame.centre.data());
  camera->SetPosition(eye.data());
  camera->SetViewUp(frame.up.data());
  camera->SetParallelScale(rows.view_h / page.scale / 2);
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
void ray_numbers(Painter &p, const PatchMesh &bones, double cx, double cy, const Frame &frame, double scale,
                 int painful) {
  for (int r = 1; r <= 5; ++r) {
    double top = -inf, at = 0;
    for (std::size_t q = 0; q < bones.quad.size(); ++q)
      if (bones.ray[q] == r)
        for (std::size_t k : bones.quad[q]) {
          const Vec3 from_centre = bones.point[k] - frame.centre;
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
  const Rows &rows = page.rows;
  const int painful = input.foot.painful_ray;
  const bool against = rows.columns > 2;
  const std::size_t reference = reference_place(input);
  const std::string letter = design_letter(reference);
  std::string about =
      picture_topic("Stress along the metatarsals", input) + ". " +
      (input.foot.side == Side::left ? "Left" : "Right") + " foot, toes up; numbers are rays" +
      (has_course(input) ? "; each bone at the instant that strains it most" : "") +
      ". Stress: blue is compression, without lines; orange is tension, with a line at every step of "
      "the scale and a thick border where it exceeds " +
      exact(least_tension(page.values[0].limit)) + " MPa.";
  if (against)
    about += " Against " + letter + ": orange is where the bone is stressed more than with " + letter +
             ", blue where less, in compression or tension alike; thick border: " +
             exact(least_tension(page.values[1].limit)) + " MPa more.";
  rows_title(p, bones_title(input), about);
  for (std::size_t part = 0; part < rows.columns / 2; ++part) {
    const Values &values = page.values[part];
    const RowsScale scale{-values.limit,  values.limit,  values.least,
                          values.largest, stress_colour, values.lines};
    rows_scale(p, rows, 2 * part, 2,
               part == 0 ? "Stress along the ray, MPa" : "Stressed more than with " + letter + ", MPa",
               scale);
  }
  for (std::size_t column = 0; column < rows.columns; ++column)
    p.text({rows.left(column) + rows.view_w / 2, rows.height - Rows::head_h + 8},
           column % 2 == 0 ? "from above (dorsal)" : "from below (plantar)",
           {13, Align::centre, {70, 70, 70}});
  for (std::size_t i = 0; i < all.size(); ++i) {
    const DesignResult &result = input.outcomes[i].with;
    std::vector<std::string> numbers;
    if (result.converged) {
      const auto strain = [&](const DesignResult &r) { return r.ray[painful - 1].peak_strain; };
      numbers = {"ray " + std::to_string(painful) + " largest strain",
                 banded(strain(result)) + " microstrain"};
      if (against)
        numbers.push_back(to_reference(input, i, strain));
    }
    row_name(p, input, rows, i, numbers);
    if (all[i].stress.quad.empty())
      continue;
    for (std::size_t column = 0; column < rows.columns; ++column)
      if (column < 2 || i != reference)
        ray_numbers(p, all[i].stress, rows.left(column) + rows.view_w / 2, rows.bottom(i) + rows.view_h / 2,
                    page.frames[column % 2], page.scale, painful);
    if (against && i == reference)
      reference_words(
          p, rows, i, 2,
          letter +
              " is the reference. In the other rows this place shows where the bones are stressed more "
              "than with " +
              letter + " (orange) and where less (blue).");
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
  const std::size_t reference = reference_place(input);
  const auto drawn = [&](const std::size_t i) {
    return input.outcomes[i].with.converged && !input.outcomes[i].with.bones.empty();
  };
  std::vector<Bones> all(input.outcomes.size());
  bool any = false, against = false;
  for (std::size_t i = 0; i < all.size(); ++i)
    if (drawn(i)) {
      const std::vector<Patch> &bones = input.outcomes[i].with.bones;
      all[i].stress = join_patches(bones, false, left_foot);
      any = true;
      if (i != reference && drawn(reference)) {
        all[i].against =
            join_patches(patches_against(bones, input.outcomes[reference].with.bones), false, left_foot);
        against = true;
      }
    }
  if (!any)
    return false;

  const Page page(all, left_foot, against);
  vtkNew<vtkRenderWindow> window;
  prepare_window(window, page.rows.width, page.rows.height);
  vtkNew<vtkRenderer> paper;
  paper->SetBackground(1, 1, 1);
  window->AddRenderer(paper);
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t column = 0; column < page.rows.columns; ++column)
      if (const PatchMesh &mesh = column < 2 ? all[i].stress : all[i].against; !mesh.quad.empty())
        add_view(window, mesh, page, i, column);
  add_overlay(
      window, [&](Painter &p) { labels(p, input, all, page); }, page.rows.width, page.rows.height, words);
  write_window(window, path);
  return true;
}

} // namespace raybend
