#include "postprocess/patch_mesh.hpp"
#include <algorithm>
#include <cmath>
#include <map>

namespace raybend {

PatchMesh join_patches(const std::vector<Patch> &patches, bool join_rays, bool mirror_y) {
  // Corners of neighbours agree to rounding. An odd grid size keeps round coordinates off the cells' limits.
  constexpr double grid = 1e-4 * M_PI;
  std::map<std::array<long long, 4>, std::size_t> known;
  PatchMesh mesh;
  std::vector<int> uses;
  for (const Patch &patch : patches) {
    std::array<std::size_t, 4> quad{};
    for (int k = 0; k < 4; ++k) {
      const int corner = mirror_y ? 3 - k : k;
      Vec3 x = patch.corner[corner];
      if (mirror_y)
        x[1] = -x[1];
      std::array<long long, 4> key{};
      for (int d = 0; d < 3; ++d)
        key[d] = std::llround(x[d] / grid);
      key[3] = join_rays ? 0 : patch.ray;
      const auto [place, fresh] = known.emplace(key, mesh.point.size());
      if (fresh) {
        mesh.point.push_back(x);
        mesh.value.push_back(0);
        uses.push_back(0);
      }
      quad[k] = place->second;
      mesh.value[quad[k]] += patch.value[corner];
      ++uses[quad[k]];
    }
    mesh.quad.push_back(quad);
    mesh.ray.push_back(patch.ray);
  }
  for (std::size_t i = 0; i < mesh.value.size(); ++i)
    mesh.value[i] /= uses[i];

  std::map<std::array<std::size_t, 2>, int> edges;
  for (const auto &quad : mesh.quad)
    for (int k = 0; k < 4; ++k)
      if (const auto ends = std::minmax(quad[k], quad[(k + 1) % 4]); ends.first != ends.second)
        ++edges[{ends.first, ends.second}];
  for (const auto &[edge, count] : edges)
    if (count == 1)
      mesh.outline.push_back(edge);
  return mesh;
}

std::vector<std::array<Vec3, 2>> level_lines(const PatchMesh &mesh, double level) {
  std::vector<std::array<Vec3, 2>> lines;
  for (const auto &quad : mesh.quad)
    for (const std::array<std::size_t, 3> &corner :
         {std::array<std::size_t, 3>{quad[0], quad[1], quad[2]}, {quad[0], quad[2], quad[3]}}) {
      std::vector<Vec3> ends;
      for (int k = 0; k < 3; ++k) {
        const std::size_t a = corner[k], b = corner[(k + 1) % 3];
        const double from = mesh.value[a] - level, to = mesh.value[b] - level;
        if ((from < 0) != (to < 0) && std::isfinite(to - from))
          ends.push_back(mesh.point[a] + from / (from - to) * (mesh.point[b] - mesh.point[a]));
      }
      if (ends.size() == 2)
        lines.push_back({ends[0], ends[1]});
    }
  return lines;
}

} // namespace raybend
