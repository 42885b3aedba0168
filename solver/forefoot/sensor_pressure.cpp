// Plantar pressure as a sensor in the shoe shows it: the mean over the sensor's face.
#include "solver/forefoot/sensor_pressure.hpp"
#include <algorithm>
#include <cmath>
#include <limits>

namespace raybend {

namespace {

constexpr double bit = 0.5; // mm, of the grid that takes up the patches' force

using Point = std::array<double, 2>;

/// A triangle and what is left of it after cuts along the four sides of a bit.
struct Piece {
  std::array<Point, 8> corner;
  int n = 0;

  void add(const Point &p) { corner[n++] = p; }
};

/// The part of the piece where sign * (coordinate - limit) <= 0.
Piece cut(const Piece &piece, int axis, double limit, double sign) {
  Piece kept;
  for (int i = 0; i < piece.n; ++i) {
    const Point &a = piece.corner[i], &b = piece.corner[(i + 1) % piece.n];
    const double off_a = sign * (a[axis] - limit), off_b = sign * (b[axis] - limit);
    if (off_a <= 0)
      kept.add(a);
    if ((off_a < 0 && off_b > 0) || (off_a > 0 && off_b < 0)) {
      const double t = off_a / (off_a - off_b);
      kept.add({a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])});
    }
  }
  return kept;
}

double signed_area(const Piece &piece) {
  double twice = 0;
  for (int i = 0; i < piece.n; ++i) {
    const Point &a = piece.corner[i], &b = piece.corner[(i + 1) % piece.n];
    twice += (a[0] - piece.corner[0][0]) * (b[1] - piece.corner[0][1]) -
             (b[0] - piece.corner[0][0]) * (a[1] - piece.corner[0][1]);
  }
  return twice / 2;
}

/// Square bits of plan; bit (i, j) reaches from node (i, j) to node (i + 1, j + 1). Nodes stand at whole
/// multiples of `bit`, whatever the patches, so that all meshes and designs try the same sensors.
class Grid {
public:
  explicit Grid(const std::vector<Patch> &patches) {
    std::array<int, 2> high = {0, 0};
    for (int d = 0; d < 2; ++d) {
      double least = std::numeric_limits<double>::infinity(), most = -least;
      for (const Patch &patch : patches)
        for (const Vec3 &c : patch.corner) {
          least = std::min(least, c[d]);
          most = std::max(most, c[d]);
        }
      if (!patches.empty()) {
        low[d] = static_cast<int>(std::floor(least / bit));
        high[d] = static_cast<int>(std::floor(most / bit));
      }
      n[d] = high[d] - low[d] + 1;
    }
    below.assign((n[0] + 1) * (n[1] + 1), 0);
    region.assign(below.size(), -1);
  }

  std::size_t index(int i, int j) const { return i * (n[1] + 1) + j; }
  double place(int axis, int i) const { return (low[axis] + i) * bit; }

  /// Force of the patch to the bits by the area each shares with it; its region to the nodes within it.
  void add(const Patch &patch, int patch_region) {
    const auto &c = patch.corner;
    const double pressure = (patch.value[0] + patch.value[1] + patch.value[2] + patch.value[3]) / 4;
    Piece half[2]; // two triangles, signed: exact for any four corners
    for (const int k : {0, 1, 2})
      half[0].add({c[k][0], c[k][1]});
    for (const int k : {0, 2, 3})
      half[1].add({c[k][0], c[k][1]});
    const double turn = signed_area(half[0]) + signed_area(half[1]) < 0 ? -1 : 1;
    for (const Piece &triangle : half) {
      const auto [i_first, i_last] = reach(triangle, 0);
      for (int i = i_first; i <= i_last; ++i) {
        const Piece row = cut(cut(triangle, 0, place(0, i), -1), 0, place(0, i + 1), 1);
        if (row.n == 0)
          continue;
        const auto [j_first, j_last] = reach(row, 1);
        for (int j = j_first; j <= j_last; ++j)
          below[index(i + 1, j + 1)] +=
              pressure * turn * signed_area(cut(cut(row, 1, place(1, j), -1), 1, place(1, j + 1), 1));
      }
    }
    mark(c, patch_region);
  }

  /// After the last patch: below(i, j) becomes the force of all bits before node (i, j) in both directions.
  void sum_up() {
    for (int i = 1; i <= n[0]; ++i)
      for (int j = 1; j <= n[1]; ++j)
        below[index(i, j)] += below[index(i - 1, j)] + below[index(i, j - 1)] - below[index(i - 1, j - 1)];
  }

  /// Force on the square round node (i, j), `half` bits to each side.
  double force(int i, int j, int half) const {
    const int i0 = std::max(i - half, 0), i1 = std::min(i + half, n[0]);
    const int j0 = std::max(j - half, 0), j1 = std::min(j + half, n[1]);
    return below[index(i1, j1)] - below[index(i0, j1)] - below[index(i1, j0)] + below[index(i0, j0)];
  }

  std::array<int, 2> low = {0, 0}, n = {0, 0}; ///< number of the first bit, count of bits, each way
  std::vector<double> below;                   ///< kPa mm2, one a node
  std::vector<int> region;                     ///< of the patch a node stands on; -1 beyond the skin

private:
  /// First and last row (column) of bits the piece may touch.
  std::array<int, 2> reach(const Piece &piece, int axis) const {
    double least = piece.corner[0][axis], most = least;
    for (int k = 1; k < piece.n; ++k) {
      least = std::min(least, piece.corner[k][axis]);
      most = std::max(most, piece.corner[k][axis]);
    }
    const auto row = [&](double at) {
      return std::clamp(static_cast<int>(std::floor(at / bit)) - low[axis], 0, n[axis] - 1);
    };
    return {row(least), row(most)};
  }

  void mark(const std::array<Vec3, 4> &c, int patch_region) {
    const auto node = [&](int axis, bool last) {
      double at = c[0][axis];
      for (const Vec3 &p : c)
        at = last ? std::max(at, p[axis]) : std::min(at, p[axis]);
      return std::clamp(static_cast<int>(std::floor(at / bit)) - low[axis] + (last ? 1 : 0), 0, n[axis]);
    };
    for (int i = node(0, false); i <= node(0, true); ++i)
      for (int j = node(1, false); j <= node(1, true); ++j) {
        const double x = place(0, i), y = place(1, j);
        bool within = false; // an odd number of edges lies to one side of the node
        for (int k = 0; k < 4; ++k) {
          const Vec3 &a = c[k], &b = c[(k + 1) % 4];
          if ((a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
            within = !within;
        }
        if (within)
          region[index(i, j)] = patch_region;
      }
  }
};

} // namespace

std::vector<SensorReading> sensor_readings(const std::vector<Patch> &plantar, const std::vector<int> &region,
                                           int readings, double side, const SensorPlace &place) {
  constexpr double alike = 1e-9; // of a reading
  std::vector<SensorReading> highest(readings);
  Grid grid(plantar);
  for (std::size_t k = 0; k < plantar.size(); ++k)
    grid.add(plantar[k], region[k]);
  grid.sum_up();
  const int half = static_cast<int>(std::lround(side / bit / 2));
  for (int i = 0; i <= grid.n[0]; ++i)
    for (int j = 0; j <= grid.n[1]; ++j)
      if (const int there = grid.region[grid.index(i, j)]; there >= 0) {
        const int r = place ? place(there, grid.place(0, i), grid.place(1, j)) : there;
        if (r < 0)
          continue;
        const double pressure = grid.force(i, j, half) / (side * side);
        if (pressure > (1 + alike) * highest[r].pressure)
          highest[r] = {pressure, {grid.place(0, i), grid.place(1, j), 0}};
      }
  return highest;
}

} // namespace raybend
