// Patches joined into one surface: corners at the same place become one point, with the mean of their values.
#include "postprocess/pictures/patch_mesh.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <stdexcept>

namespace raybend {

namespace {

/// Each edge, its ends in rising order, with the quads that share it.
std::map<std::array<std::size_t, 2>, std::vector<std::size_t>> edges(const PatchMesh &mesh) {
  std::map<std::array<std::size_t, 2>, std::vector<std::size_t>> quads_of;
  for (std::size_t q = 0; q < mesh.quad.size(); ++q)
    for (int k = 0; k < 4; ++k)
      if (const auto ends = std::minmax(mesh.quad[q][k], mesh.quad[q][(k + 1) % 4]);
          ends.first != ends.second)
        quads_of[{ends.first, ends.second}].push_back(q);
  return quads_of;
}

/// The two triangles of a quad.
std::array<std::array<std::size_t, 3>, 2> triangles(const std::array<std::size_t, 4> &quad) {
  return {{{quad[0], quad[1], quad[2]}, {quad[0], quad[2], quad[3]}}};
}

/// For each point the largest value of the connected part of the surface above `level` that it belongs to;
/// the level itself for points that are not above it.
std::vector<double> tops_of_parts(const PatchMesh &mesh, double level) {
  std::vector<std::size_t> parent(mesh.point.size());
  std::iota(parent.begin(), parent.end(), 0);
  const auto root = [&](std::size_t i) {
    while (parent[i] != i)
      i = parent[i] = parent[parent[i]];
    return i;
  };
  for (const auto &quad : mesh.quad)
    for (const auto &corner : triangles(quad))
      for (int k = 0; k < 3; ++k)
        if (const std::size_t a = corner[k], b = corner[(k + 1) % 3];
            mesh.value[a] >= level && mesh.value[b] >= level)
          parent[root(a)] = root(b);
  std::vector<double> top(mesh.point.size(), level);
  for (std::size_t i = 0; i < mesh.point.size(); ++i)
    if (mesh.value[i] >= level)
      top[root(i)] = std::max(top[root(i)], mesh.value[i]);
  std::vector<double> of_point(mesh.point.size(), level);
  for (std::size_t i = 0; i < mesh.point.size(); ++i)
    of_point[i] = mesh.value[i] >= level ? top[root(i)] : level;
  return of_point;
}

} // namespace

PatchMesh join_patches(const std::vector<Patch> &patches, bool join_rays, bool mirror_y) {
  // Corners of neighbours agree to rounding. An odd grid size keeps round coordinates off the cells' limits.
  constexpr double grid = 1e-4 * pi;
  std::map<std::array<long long, 4>, std::size_t> known;
  PatchMesh mesh;
  std::vector<int> uses;
  for (const Patch &patch : patches) {
    std::array<std::size_t, 4> quad{};
    double mean = 0;
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
      mean += patch.value[corner] / 4;
      ++uses[quad[k]];
    }
    mesh.quad.push_back(quad);
    mesh.facet.push_back(mean);
    mesh.ray.push_back(patch.ray);
  }
  for (std::size_t i = 0; i < mesh.value.size(); ++i)
    mesh.value[i] /= uses[i];

  for (const auto &[edge, quads] : edges(mesh))
    if (quads.size() == 1)
      mesh.outline.push_back(edge);
  return mesh;
}

std::vector<Patch> patches_against(const std::vector<Patch> &now, const std::vector<Patch> &before) {
  if (now.size() != before.size())
    throw std::invalid_argument("surfaces of different meshes cannot be compared");
  std::vector<Patch> difference = now;
  for (std::size_t i = 0; i < now.size(); ++i)
    for (int k = 0; k < 4; ++k)
      difference[i].value[k] = std::abs(now[i].value[k]) - std::abs(before[i].value[k]);
  return difference;
}

std::vector<std::array<Vec3, 2>> facet_borders(const PatchMesh &mesh, double level) {
  std::vector<std::array<Vec3, 2>> lines;
  for (const auto &[edge, quads] : edges(mesh))
    if (quads.size() == 2 && (mesh.facet[quads[0]] < level) != (mesh.facet[quads[1]] < level))
      lines.push_back({mesh.point[edge[0]], mesh.point[edge[1]]});
  return lines;
}

std::vector<std::array<Vec3, 2>> level_lines(const PatchMesh &mesh, double level, double least) {
  const std::vector<double> top = tops_of_parts(mesh, level);
  std::vector<std::array<Vec3, 2>> lines;
  for (const auto &quad : mesh.quad)
    for (const auto &corner : triangles(quad)) {
      std::vector<Vec3> ends;
      for (int k = 0; k < 3; ++k) {
        const std::size_t a = corner[k], b = corner[(k + 1) % 3];
        const double from = mesh.value[a] - level, to = mesh.value[b] - level;
        if ((from < 0) != (to < 0) && std::isfinite(to - from))
          ends.push_back(mesh.point[a] + from / (from - to) * (mesh.point[b] - mesh.point[a]));
      }
      if (ends.size() == 2 && std::max({top[corner[0]], top[corner[1]], top[corner[2]]}) >= least)
        lines.push_back({ends[0], ends[1]});
    }
  return lines;
}

} // namespace raybend
