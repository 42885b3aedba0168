// Builds the one mesh that serves every design of every foot: swept, all hexahedra, in the logical frame.
#include "meshing/forefoot_mesh.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include <algorithm>
#include <cmath>
#include <gmsh.h>
#include <map>
#include <set>
#include <stdexcept>

namespace raybend {

using namespace logical;

namespace {

// One quadrilateral of the cross-section (corners in cyclic order) and what it is.
struct Block {
  std::array<std::array<double, 2>, 4> corner;
  enum Kind { plantar_tissue, ring_tissue, cortex, core, insole } kind;
};

std::vector<Block> cross_section() {
  std::vector<Block> blocks;
  for (int ray = 1; ray <= 5; ++ray) {
    const double b = axis_of(ray);
    const auto box = [&](double low, double high, Block::Kind kind) {
      blocks.push_back({{{{b - 1, low}, {b + 1, low}, {b + 1, high}, {b - 1, high}}}, kind});
    };
    for (int row = -5; row < -1; ++row)
      box(row, row + 1, Block::insole);
    box(0, 1, Block::plantar_tissue);
    const double turn[4][2] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
    const auto ring = [&](double in, double out, Block::Kind kind) {
      for (int i = 0; i < 4; ++i) {
        const int j = (i + 1) % 4;
        blocks.push_back({{{{b + out * turn[i][0], 2 + out * turn[i][1]},
                            {b + out * turn[j][0], 2 + out * turn[j][1]},
                            {b + in * turn[j][0], 2 + in * turn[j][1]},
                            {b + in * turn[i][0], 2 + in * turn[i][1]}}},
                          kind});
      }
    };
    ring(cortex_radius, 1.0, Block::ring_tissue);
    ring(core_radius, cortex_radius, Block::cortex);
    box(2 - core_radius, 2 + core_radius, Block::core);
    for (int i = 0; i < 4; ++i) // the core's box is narrower than the tile
      blocks.back().corner[i] = {b + core_radius * turn[i][0], 2 + core_radius * turn[i][1]};
  }
  return blocks;
}

const char *name_of(Block::Kind kind) {
  switch (kind) {
  case Block::plantar_tissue:
    return "plantar tissue";
  case Block::ring_tissue:
    return "tissue round the bone";
  case Block::cortex:
    return "cortex";
  case Block::core:
    return "trabecular bone and marrow canal";
  default:
    return "insole and sole";
  }
}

struct GmshSession {
  GmshSession() {
    gmsh::initialize(0, nullptr, false); // a user's Gmsh settings are for other meshes
    gmsh::option::setNumber("General.Terminal", 0);
    gmsh::model::add("forefoot");
  }
  ~GmshSession() { gmsh::finalize(); }
};

// Corner order (0,0) (1,0) (0,1) (1,1) of a quadrilateral whose axes point to +b and +d: the lower two
// corners from left to right, then the upper two. Holds for boxes and for all four trapezoids of an O-grid.
std::array<unsigned, 4> lexicographic(std::array<unsigned, 4> quad, const std::vector<Vec3> &vertices) {
  const auto by = [&](int axis) {
    return [&vertices, axis](unsigned a, unsigned b) { return vertices[a][axis] < vertices[b][axis]; };
  };
  std::sort(quad.begin(), quad.end(), by(2));
  std::sort(quad.begin(), quad.begin() + 2, by(1));
  std::sort(quad.begin() + 2, quad.end(), by(1));
  return quad;
}

unsigned cell_tag(Block::Kind kind, double s) {
  switch (kind) {
  case Block::insole:
    return tag_insole;
  case Block::cortex:
    return s < pole_station ? tag_cortical : tag_tissue;
  case Block::core:
    return s < pole_station ? tag_trabecular : tag_tissue;
  default:
    return tag_tissue;
  }
}

void add_boundary_faces(CoarseMesh &mesh) {
  const auto all = [&](const std::array<unsigned, 4> &f, int c, double value) {
    return std::all_of(f.begin(), f.end(),
                       [&](unsigned v) { return std::abs(mesh.vertices[v][c] - value) < 1e-9; });
  };
  for (std::size_t i = 0; i < mesh.cells.size(); ++i) {
    const auto &c = mesh.cells[i];
    const std::array<std::array<unsigned, 4>, 6> faces = {{{c[0], c[1], c[2], c[3]},
                                                           {c[4], c[5], c[6], c[7]},
                                                           {c[0], c[2], c[4], c[6]},
                                                           {c[1], c[3], c[5], c[7]},
                                                           {c[0], c[1], c[4], c[5]},
                                                           {c[2], c[3], c[6], c[7]}}};
    for (const auto &f : faces) {
      unsigned id = face_free;
      if (mesh.tags[i] == tag_insole) {
        if (all(f, 2, -1))
          id = face_insole_top;
        else if (all(f, 2, -5))
          id = face_sole_bottom;
        else if (all(f, 0, 0))
          id = face_insole_base;
        else if (all(f, 0, stations))
          id = face_insole_front;
        else if (all(f, 1, 0) || all(f, 1, 10))
          id = face_insole_rim;
      } else if (all(f, 2, 0)) {
        id = face_plantar;
      } else if (all(f, 0, 0)) {
        double b = 0;
        for (unsigned v : f)
          b += mesh.vertices[v][1] / 4;
        id = mesh.tags[i] == tag_tissue ? unsigned(face_tissue_base) : face_bone_base + ray_of(b);
      }
      if (id != face_free)
        mesh.faces.push_back({f, id});
    }
  }
}

} // namespace

CoarseMesh build_forefoot_mesh(const std::string &msh_path) {
  namespace geo = gmsh::model::geo;
  GmshSession session;
  const std::vector<Block> blocks = cross_section();

  std::map<std::array<long, 2>, int> points;
  std::map<std::array<int, 2>, int> lines;
  const auto point = [&](const std::array<double, 2> &p) {
    const std::array<long, 2> key = {std::lround(p[0] * 1e6), std::lround(p[1] * 1e6)};
    const auto it = points.find(key);
    return it != points.end() ? it->second : points[key] = geo::addPoint(0, p[0], p[1]);
  };
  const auto line = [&](int a, int b) { // signed tag
    if (const auto it = lines.find({a, b}); it != lines.end())
      return it->second;
    if (const auto it = lines.find({b, a}); it != lines.end())
      return -it->second;
    const int tag = geo::addLine(a, b);
    geo::mesh::setTransfiniteCurve(tag, 2);
    return lines[{a, b}] = tag;
  };

  std::map<int, std::vector<int>> volumes_of_kind;
  std::map<int, Block::Kind> kind_of_volume;
  for (const Block &block : blocks) {
    std::array<int, 4> p{};
    for (int i = 0; i < 4; ++i)
      p[i] = point(block.corner[i]);
    const int loop =
        geo::addCurveLoop({line(p[0], p[1]), line(p[1], p[2]), line(p[2], p[3]), line(p[3], p[0])});
    const int surface = geo::addPlaneSurface({loop});
    geo::mesh::setTransfiniteSurface(surface);
    geo::mesh::setRecombine(2, surface);
    gmsh::vectorpair swept;
    geo::extrude({{2, surface}}, stations, 0, 0, swept, {stations}, {1.0}, true);
    for (const auto &[dim, tag] : swept)
      if (dim == 3) {
        volumes_of_kind[block.kind].push_back(tag);
        kind_of_volume[tag] = block.kind;
      }
  }
  geo::synchronize();
  for (const auto &[kind, volumes] : volumes_of_kind) {
    const int group = gmsh::model::addPhysicalGroup(3, volumes);
    gmsh::model::setPhysicalName(3, group, name_of(static_cast<Block::Kind>(kind)));
  }
  gmsh::model::mesh::generate(3);
  if (!msh_path.empty())
    gmsh::write(msh_path);

  CoarseMesh mesh;
  std::vector<std::size_t> node_tags;
  std::vector<double> coordinates, parameters;
  gmsh::model::mesh::getNodes(node_tags, coordinates, parameters);
  std::map<std::size_t, Vec3> where;
  for (std::size_t i = 0; i < node_tags.size(); ++i) {
    Vec3 p = {coordinates[3 * i], coordinates[3 * i + 1], coordinates[3 * i + 2]};
    for (double &x : p)
      x = std::round(x * 1e9) / 1e9;
    where[node_tags[i]] = p;
  }
  std::map<std::array<long, 3>, unsigned> vertex_at; // merges nodes that Gmsh keeps apart on shared faces
  const auto vertex = [&](std::size_t tag) {
    const Vec3 &p = where.at(tag);
    const std::array<long, 3> key = {std::lround(p[0] * 1e6), std::lround(p[1] * 1e6),
                                     std::lround(p[2] * 1e6)};
    const auto it = vertex_at.find(key);
    if (it != vertex_at.end())
      return it->second;
    mesh.vertices.push_back(p);
    return vertex_at[key] = static_cast<unsigned>(mesh.vertices.size() - 1);
  };

  constexpr int hexahedron = 5;
  for (const auto &[volume, kind] : kind_of_volume) {
    std::vector<std::size_t> elements, nodes;
    gmsh::model::mesh::getElementsByType(hexahedron, elements, nodes, volume);
    if (elements.size() != stations)
      throw std::runtime_error("Gmsh returned " + std::to_string(elements.size()) +
                               " hexahedra for a swept block of " + std::to_string(stations));
    for (std::size_t e = 0; e < elements.size(); ++e) {
      std::vector<unsigned> v(8);
      double s = 0;
      for (int i = 0; i < 8; ++i) {
        v[i] = vertex(nodes[8 * e + i]);
        s += mesh.vertices[v[i]][0] / 8;
      }
      if (kind == Block::core && s > canal_from && s < canal_to)
        continue; // marrow canal
      std::sort(v.begin(), v.end(),
                [&](unsigned a, unsigned b) { return mesh.vertices[a][0] < mesh.vertices[b][0]; });
      const auto low = lexicographic({v[0], v[1], v[2], v[3]}, mesh.vertices);
      const auto high = lexicographic({v[4], v[5], v[6], v[7]}, mesh.vertices);
      std::array<unsigned, 8> cell{};
      for (int i = 0; i < 4; ++i) {
        cell[2 * i] = low[i];
        cell[2 * i + 1] = high[i];
      }
      mesh.cells.push_back(cell);
      mesh.tags.push_back(cell_tag(kind, s));
    }
  }
  add_boundary_faces(mesh);
  check_orientation(mesh);
  return mesh;
}

} // namespace raybend
