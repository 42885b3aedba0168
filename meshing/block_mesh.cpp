// Blocks of hexahedra joined into one mesh, and names for its outer faces.
#include "meshing/block_mesh.hpp"
#include "meshing/box_mesh.hpp"
#include <algorithm>
#include <map>

namespace raybend {

void merge(CoarseMesh &mesh, const CoarseMesh &other, double tolerance) {
  std::vector<unsigned> place(other.vertices.size());
  for (std::size_t v = 0; v < other.vertices.size(); ++v) {
    std::size_t i = 0;
    while (i < mesh.vertices.size() && norm(mesh.vertices[i] - other.vertices[v]) > tolerance)
      ++i;
    if (i == mesh.vertices.size())
      mesh.vertices.push_back(other.vertices[v]);
    place[v] = i;
  }
  for (std::size_t c = 0; c < other.cells.size(); ++c) {
    auto cell = other.cells[c];
    for (unsigned &v : cell)
      v = place[v];
    mesh.cells.push_back(cell);
    mesh.tags.push_back(other.tags[c]);
  }
  for (auto face : other.faces) {
    for (unsigned &v : face.vertices)
      v = place[v];
    mesh.faces.push_back(face);
  }
}

CoarseMesh octant_shell(double hole, unsigned sides, unsigned across) {
  CoarseMesh mesh;
  for (unsigned axis = 0; axis < 3; ++axis) {
    CoarseMesh block;
    const auto index = [=](unsigned k, unsigned i, unsigned j) {
      return k + (across + 1) * (i + (sides + 1) * j);
    };
    for (unsigned j = 0; j <= sides; ++j)
      for (unsigned i = 0; i <= sides; ++i)
        for (unsigned k = 0; k <= across; ++k) {
          const double m = hole + (1 - hole) * k / across;
          Vec3 x{};
          x[axis] = m;
          x[(axis + 1) % 3] = m * i / sides;
          x[(axis + 2) % 3] = m * j / sides;
          block.vertices.push_back(x);
        }
    for (unsigned j = 0; j < sides; ++j)
      for (unsigned i = 0; i < sides; ++i)
        for (unsigned k = 0; k < across; ++k) {
          std::array<unsigned, 8> c{};
          for (unsigned v = 0; v < 8; ++v) // own axes: outwards, then the two others in cyclic order
            c[v] = index(k + (v & 1), i + ((v >> 1) & 1), j + ((v >> 2) & 1));
          block.cells.push_back(c);
          block.tags.push_back(1);
        }
    merge(mesh, block);
  }
  return mesh;
}

CoarseMesh quarter_disc(double hole, double length, unsigned sides, unsigned across, unsigned along) {
  CoarseMesh mesh = box_mesh({0, 0, 0}, {hole, hole, length}, {sides, sides, along});
  for (const bool turned : {false, true}) {
    CoarseMesh block =
        box_mesh({0, 0, 0}, {1, 1, length}, {turned ? sides : across, turned ? across : sides, along});
    for (Vec3 &v : block.vertices) { // (out, along the edge) -> a trapezium
      const double out = hole + (1 - hole) * v[turned ? 1 : 0], edge = out * v[turned ? 0 : 1];
      v[turned ? 1 : 0] = out;
      v[turned ? 0 : 1] = edge;
    }
    merge(mesh, block);
  }
  return mesh;
}

void name_outer_faces(CoarseMesh &mesh, const std::function<unsigned(const Vec3 &)> &id) {
  static constexpr unsigned faces[6][4] = {{0, 2, 4, 6}, {1, 3, 5, 7}, {0, 1, 4, 5},
                                           {2, 3, 6, 7}, {0, 1, 2, 3}, {4, 5, 6, 7}};
  std::map<std::array<unsigned, 4>, std::pair<unsigned, std::array<unsigned, 4>>> seen;
  for (const auto &c : mesh.cells)
    for (const auto &f : faces) {
      const std::array<unsigned, 4> face = {c[f[0]], c[f[1]], c[f[2]], c[f[3]]};
      auto key = face;
      std::sort(key.begin(), key.end());
      auto &entry = seen[key];
      ++entry.first;
      entry.second = face;
    }
  mesh.faces.clear();
  for (const auto &[key, entry] : seen) {
    if (entry.first != 1)
      continue;
    Vec3 centre{};
    for (const unsigned v : entry.second)
      centre = centre + 0.25 * mesh.vertices[v];
    if (const unsigned found = id(centre))
      mesh.faces.push_back({entry.second, found});
  }
}

} // namespace raybend
