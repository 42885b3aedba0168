// Patches joined into one surface: corners at the same place become one point, with the mean of their values.
#pragma once
#include "solver/results.hpp"
#include <array>
#include <limits>
#include <vector>

namespace raybend {

struct PatchMesh {
  std::vector<Vec3> point;
  std::vector<double> value;                       ///< one a point: the mean of its patches
  std::vector<double> facet;                       ///< one a quad: the mean of its own corners
  std::vector<std::array<std::size_t, 4>> quad;    ///< corners in the order of the patch
  std::vector<int> ray;                            ///< one a quad
  std::vector<std::array<std::size_t, 2>> outline; ///< edges that belong to one quad only
};

/// Joins corners of the same ray if `join_rays` is false (bones do not grow together where they touch).
/// `mirror_y` turns the frame's right foot into a left one; it also turns the order of the corners, so that a
/// surface keeps its outer side.
PatchMesh join_patches(const std::vector<Patch> &patches, bool join_rays, bool mirror_y);

/// The patches of `now`, each value by how much it is larger than the one of `before`, signs left aside: above zero where
/// there is more stress or pressure. Throws std::invalid_argument if the two are not of one mesh.
std::vector<Patch> patches_against(const std::vector<Patch> &now, const std::vector<Patch> &before);

/// Line segments where the value, linear over the two triangles of each quad, is `level`. A triangle with a
/// value that is not finite has none, nor has the border of a connected part above the level that nowhere
/// reaches `least`.
std::vector<std::array<Vec3, 2>> level_lines(const PatchMesh &mesh, double level,
                                             double least = -std::numeric_limits<double>::infinity());

/// Edges between facets below `level` and facets at or above it.
std::vector<std::array<Vec3, 2>> facet_borders(const PatchMesh &mesh, double level);

} // namespace raybend
