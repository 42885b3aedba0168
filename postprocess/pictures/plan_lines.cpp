// Where a design's support elements and ends of layers lie, as lines in plan.
#include "postprocess/pictures/plan_lines.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "postprocess/pictures/patch_mesh.hpp"
#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <utility>

namespace raybend {

namespace {

constexpr std::size_t along = 10 * logical::stations + 1,
                      across = 101; // points of the grid, about 1 mm apart
constexpr double step = 0.1;        // of the logical frame
constexpr double edge_part = 0.02;  // of a height: bevels and domes run out flat

/// Points of the plan and the quadrilaterals between them; values to be filled in.
PatchMesh plan_grid(const FootShape &shape, const bool mirror_y) {
  PatchMesh mesh;
  for (std::size_t i = 0; i < along; ++i)
    for (std::size_t k = 0; k < across; ++k) {
      const Vec3 p = shape.skin(i * step, k * step);
      mesh.point.push_back({p[0], mirror_y ? -p[1] : p[1], 0});
    }
  for (std::size_t i = 0; i + 1 < along; ++i)
    for (std::size_t k = 0; k + 1 < across; ++k) {
      const std::size_t first = i * across + k;
      mesh.quad.push_back({first, first + 1, first + across + 1, first + across});
    }
  mesh.value.resize(mesh.point.size());
  return mesh;
}

} // namespace

std::vector<PlanLine> joined_lines(const std::vector<std::array<Vec3, 2>> &segments) {
  const auto place = [](const Vec3 &x) { // neighbours' ends differ by rounding
    return std::pair(std::lround(1e4 * x[0]), std::lround(1e4 * x[1]));
  };
  std::multimap<std::pair<long, long>, std::size_t> at;
  for (std::size_t i = 0; i < segments.size(); ++i)
    for (const Vec3 &end : segments[i])
      at.emplace(place(end), i);
  std::vector<bool> used(segments.size(), false);
  const auto go_on = [&](PlanLine &line) { // from its last corner
    for (bool more = true; more;) {
      more = false;
      const auto [first, last] = at.equal_range(place(line.back()));
      for (auto it = first; it != last && !more; ++it)
        if (const auto &[a, b] = segments[it->second]; !used[it->second]) {
          more = used[it->second] = true;
          line.push_back(place(a) == place(line.back()) ? b : a);
        }
    }
  };
  std::vector<PlanLine> lines;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    if (used[i])
      continue;
    used[i] = true;
    PlanLine &line = lines.emplace_back(PlanLine{segments[i][0], segments[i][1]});
    go_on(line);
    std::reverse(line.begin(), line.end());
    go_on(line);
  }
  return lines;
}

namespace {

/// Where elements rise to `part` of their height; with `ends`, the edges of layers, plates and regions too.
std::vector<PlanLine> lines_at(const Forefoot &foot, const Design &design, const bool mirror_y,
                               const double part, const bool ends, const bool on_top) {
  const FootShape shape(foot);
  const InsoleShape insole(design, shape);
  PatchMesh mesh = plan_grid(shape, mirror_y);
  if (on_top)
    for (std::size_t i = 0; i < mesh.point.size(); ++i)
      mesh.point[i][2] = insole.top(i / across * step, i % across * step);
  std::vector<PlanLine> lines;
  const auto add = [&](const std::function<double(double, double)> &value, const double level) {
    for (std::size_t i = 0; i < mesh.point.size(); ++i)
      mesh.value[i] = value(i / across * step, i % across * step);
    const std::vector<PlanLine> more = joined_lines(level_lines(mesh, level));
    lines.insert(lines.end(), more.begin(), more.end());
  };
  const auto behind = [&shape](const double s, const double b) { return shape.behind_heads(s, b); };
  for (const Layer &layer : design.layers)
    if (ends) {
      add(behind, layer.from_behind_heads);
      add(behind, layer.to_behind_heads);
    }
  for (std::size_t i = 0; i < design.support.size(); ++i) {
    const SupportElement &e = design.support[i];
    if (raises(e.kind) || e.kind == SupportKind::relief)
      add([&](const double s, const double b) { return std::abs(insole.rise_by(i, s, b)); }, part * e.height);
    else if (!ends)
      continue;
    else if (e.kind == SupportKind::plate) {
      add(behind, e.behind_heads);
      add(behind, e.behind_heads + e.length);
    } else if (e.kind == SupportKind::hardness)
      add([&](const double s, const double b) { return insole.covers(i, s, b) ? 1.0 : 0.0; }, 0.5);
  }
  return lines;
}

} // namespace

std::vector<PlanLine> plan_lines(const Forefoot &foot, const Design &design, const bool mirror_y,
                                 const bool on_top) {
  return lines_at(foot, design, mirror_y, edge_part, true, on_top);
}

std::vector<PlanLine> crest_lines(const Forefoot &foot, const Design &design, const bool mirror_y) {
  return lines_at(foot, design, mirror_y, 1 - edge_part, false, false);
}

} // namespace raybend
