// Hexahedra of a beam, and the section as its cells make it up.
#include "meshing/beam_mesh.hpp"
#include "geometry/beam_section.hpp"
#include "meshing/ring_mesh.hpp"
#include <algorithm>
#include <map>

namespace raybend {

namespace {

/// Quadrilaterals of the section in (eta, zeta), corners in lexicographic order, counter-clockwise
/// orientation.
struct Plan {
  std::vector<std::array<double, 2>> points;
  std::vector<std::array<unsigned, 4>> cells;

  unsigned point(const double eta, const double zeta) {
    for (unsigned i = 0; i < points.size(); ++i)
      if (std::abs(points[i][0] - eta) + std::abs(points[i][1] - zeta) < 1e-9)
        return i;
    points.push_back({eta, zeta});
    return points.size() - 1;
  }
  void box(const std::array<double, 2> &y, const std::array<double, 2> &z) {
    cells.push_back({point(y[0], z[0]), point(y[1], z[0]), point(y[0], z[1]), point(y[1], z[1])});
  }
  /// Blocks round a square hole of half side `hole` in the square of half side 1, `sides` a side.
  void ring(const double hole, const unsigned sides) {
    const unsigned round = 4 * sides;
    const auto at = [&](const unsigned i, const double r) {
      const auto p = square_ring_point(i, sides, r);
      return point(p[0], p[1]);
    };
    for (unsigned i = 0; i < round; ++i)
      cells.push_back({at(i, hole), at(i, 1), at(i + 1, hole), at(i + 1, 1)});
  }
};

Plan plan_of(const SectionForm &section) {
  Plan plan;
  const double b = section.start.width, h = section.start.depth, t = section.thickness;
  switch (section.shape) {
  case SectionShape::rectangle: {
    const unsigned ny = std::clamp(int(std::lround(0.6 * b / h)), 1, 6);
    const unsigned nz = std::clamp(int(std::lround(0.6 * h / b)), 1, 6);
    for (unsigned j = 0; j < nz; ++j)
      for (unsigned i = 0; i < ny; ++i)
        plan.box({2.0 * i / ny - 1, 2.0 * (i + 1) / ny - 1}, {2.0 * j / nz - 1, 2.0 * (j + 1) / nz - 1});
    break;
  }
  case SectionShape::layered:
    plan.box({-1, 1}, {-1, 0});
    plan.box({-1, 1}, {0, 1});
    break;
  case SectionShape::circle:
  case SectionShape::ellipse:
    for (const double y : {-disc_core, 0.0})
      for (const double z : {-disc_core, 0.0})
        plan.box({y, y + disc_core}, {z, z + disc_core});
    plan.ring(disc_core, 2);
    break;
  case SectionShape::tube:
  case SectionShape::elliptic_tube:
    plan.ring(tube_hole, 2);
    break;
  case SectionShape::z_section: {
    const double y0 = t / 2, reach = b - t / 2, z0 = h / 2 - t;
    const unsigned arm = std::clamp(int(std::lround((b - t) / (3 * t))), 1, 4);
    const unsigned web = std::clamp(int(std::lround((h - 2 * t) / (3 * t))), 1, 6);
    for (unsigned i = 0; i < arm; ++i)
      plan.box({-reach + (b - t) * i / arm, -reach + (b - t) * (i + 1) / arm}, {-h / 2, -z0});
    plan.box({-y0, y0}, {-h / 2, -z0});
    for (unsigned j = 0; j < web; ++j)
      plan.box({-y0, y0}, {-z0 + 2 * z0 * j / web, -z0 + 2 * z0 * (j + 1) / web});
    plan.box({-y0, y0}, {z0, h / 2});
    for (unsigned i = 0; i < arm; ++i)
      plan.box({y0 + (b - t) * i / arm, y0 + (b - t) * (i + 1) / arm}, {z0, h / 2});
    break;
  }
  }
  return plan;
}

} // namespace

CoarseMesh beam_mesh(const SectionForm &section, const std::vector<double> &planes) {
  const Plan plan = plan_of(section);
  const bool hollow = section.shape == SectionShape::tube || section.shape == SectionShape::elliptic_tube;
  const bool flat = section.shape == SectionShape::rectangle || section.shape == SectionShape::layered;
  const unsigned n = plan.points.size();
  CoarseMesh mesh;
  for (const double x : planes)
    for (const auto &p : plan.points)
      mesh.vertices.push_back({x, p[0], p[1]});
  // Edges of the outline: those of one quadrilateral only.
  std::map<std::pair<unsigned, unsigned>, int> count;
  constexpr unsigned edges[4][2] = {{0, 1}, {2, 3}, {0, 2}, {1, 3}};
  const auto key = [](const unsigned a, const unsigned b) {
    return std::make_pair(std::min(a, b), std::max(a, b));
  };
  for (const auto &c : plan.cells)
    for (const auto &e : edges)
      ++count[key(c[e[0]], c[e[1]])];
  for (unsigned k = 0; k + 1 < planes.size(); ++k)
    for (const auto &c : plan.cells) {
      std::array<unsigned, 8> cell{};
      for (unsigned v = 0; v < 8; ++v)
        cell[v] = c[v & 3] + n * (k + (v >> 2));
      mesh.cells.push_back(cell);
      double height = 0;
      for (const unsigned v : c)
        height += plan.points[v][1] / 4;
      mesh.tags.push_back(section.shape == SectionShape::layered && height > 0 ? 2 : 1);
      if (k == 0)
        mesh.faces.push_back({{cell[0], cell[1], cell[2], cell[3]}, beam_start_id});
      if (k + 2 == planes.size())
        mesh.faces.push_back({{cell[4], cell[5], cell[6], cell[7]}, beam_end_id});
      for (const auto &e : edges) {
        const auto &p = plan.points[c[e[0]]], &q = plan.points[c[e[1]]];
        const double reach = std::max({std::abs(p[0]), std::abs(p[1]), std::abs(q[0]), std::abs(q[1])});
        if (count[key(c[e[0]], c[e[1]])] != 1 || (hollow && reach < tube_hole + 1e-9))
          continue;
        const bool bottom = flat ? p[1] < -1 + 1e-9 && q[1] < -1 + 1e-9 : p[1] + q[1] < 0;
        mesh.faces.push_back({{cell[e[0]], cell[e[1]], cell[e[0] + 4], cell[e[1] + 4]},
                              beam_side_id + 2 * k + (bottom ? 0 : 1)});
      }
    }
  return mesh;
}

SectionSums meshed_section(const Beam &beam, const double s, const unsigned level) {
  // Quadratic cells through the map's values at their nine nodes, 3 x 3 Gauss points each.
  const Plan plan = plan_of(beam.section);
  const double root = std::sqrt(0.6), points[3] = {(1 - root) / 2, 0.5, (1 + root) / 2};
  const double weights[3] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
  const auto shape = [](const int i, const double t) {
    return i == 0 ? (1 - t) * (1 - 2 * t) : i == 1 ? 4 * t * (1 - t) : t * (2 * t - 1);
  };
  const auto slope = [](const int i, const double t) {
    return i == 0 ? 4 * t - 3 : i == 1 ? 4 - 8 * t : 4 * t - 1;
  };
  const unsigned parts = 1u << level;
  SectionSums sums;
  for (const auto &c : plan.cells)
    for (unsigned cell = 0; cell < parts * parts; ++cell) {
      std::array<double, 2> node[3][3];
      for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) {
          const double a = (cell % parts + i / 2.0) / parts, b = (cell / parts + j / 2.0) / parts;
          double logical[2];
          for (int k = 0; k < 2; ++k)
            logical[k] = (1 - b) * ((1 - a) * plan.points[c[0]][k] + a * plan.points[c[1]][k]) +
                         b * ((1 - a) * plan.points[c[2]][k] + a * plan.points[c[3]][k]);
          node[i][j] = section_point(beam, s, logical[0], logical[1]);
        }
      for (int p = 0; p < 3; ++p)
        for (int q = 0; q < 3; ++q) {
          double x[2] = {}, da[2] = {}, db[2] = {};
          for (int i = 0; i < 3; ++i)
            for (int j = 0; j < 3; ++j)
              for (int k = 0; k < 2; ++k) {
                x[k] += shape(i, points[p]) * shape(j, points[q]) * node[i][j][k];
                da[k] += slope(i, points[p]) * shape(j, points[q]) * node[i][j][k];
                db[k] += shape(i, points[p]) * slope(j, points[q]) * node[i][j][k];
              }
          const double w = weights[p] * weights[q] * (da[0] * db[1] - da[1] * db[0]);
          sums.area += w;
          sums.iy += w * x[1] * x[1];
          sums.iz += w * x[0] * x[0];
        }
    }
  return sums;
}

double block_size(const Beam &beam) {
  const SectionForm &section = beam.section;
  const double b = largest_width(beam), h = largest_depth(beam);
  switch (section.shape) {
  case SectionShape::rectangle:
    return std::min(std::max(b, h), 2 * std::min(b, h));
  case SectionShape::layered:
    return 0.75 * h;
  case SectionShape::z_section:
    return 5 * section.thickness;
  case SectionShape::circle:
  case SectionShape::ellipse:
    return std::max(b, h);
  case SectionShape::tube:
  case SectionShape::elliptic_tube:
    break;
  }
  return 0.75 * std::max(b, h);
}

} // namespace raybend
