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

} // namespace raybend
