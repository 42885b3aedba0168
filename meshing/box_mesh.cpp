// Boxes of hexahedra for simple bodies.
#include "meshing/box_mesh.hpp"

namespace raybend {

CoarseMesh box_mesh(const Vec3 &low, const Vec3 &high, const std::array<unsigned, 3> &n, unsigned tag) {
  CoarseMesh mesh;
  const auto index = [&](unsigned i, unsigned j, unsigned k) {
    return i + (n[0] + 1) * (j + (n[1] + 1) * k);
  };
  for (unsigned k = 0; k <= n[2]; ++k)
    for (unsigned j = 0; j <= n[1]; ++j)
      for (unsigned i = 0; i <= n[0]; ++i) {
        const std::array<unsigned, 3> at = {i, j, k};
        Vec3 p{};
        for (int c = 0; c < 3; ++c)
          p[c] = low[c] + (high[c] - low[c]) * at[c] / n[c];
        mesh.vertices.push_back(p);
      }
  for (unsigned k = 0; k < n[2]; ++k)
    for (unsigned j = 0; j < n[1]; ++j)
      for (unsigned i = 0; i < n[0]; ++i) {
        std::array<unsigned, 8> c{};
        for (unsigned v = 0; v < 8; ++v)
          c[v] = index(i + (v & 1), j + ((v >> 1) & 1), k + ((v >> 2) & 1));
        mesh.cells.push_back(c);
        mesh.tags.push_back(tag);
        const auto face = [&](bool here, unsigned a, unsigned b, unsigned d, unsigned e, unsigned id) {
          if (here)
            mesh.faces.push_back({{c[a], c[b], c[d], c[e]}, id});
        };
        face(i == 0, 0, 2, 4, 6, 1);
        face(i + 1 == n[0], 1, 3, 5, 7, 2);
        face(j == 0, 0, 1, 4, 5, 3);
        face(j + 1 == n[1], 2, 3, 6, 7, 4);
        face(k == 0, 0, 1, 2, 3, 5);
        face(k + 1 == n[2], 4, 5, 6, 7, 6);
      }
  return mesh;
}

void append(CoarseMesh &mesh, const CoarseMesh &other, unsigned id_shift) {
  const unsigned first = mesh.vertices.size();
  mesh.vertices.insert(mesh.vertices.end(), other.vertices.begin(), other.vertices.end());
  for (auto cell : other.cells) {
    for (unsigned &v : cell)
      v += first;
    mesh.cells.push_back(cell);
  }
  mesh.tags.insert(mesh.tags.end(), other.tags.begin(), other.tags.end());
  for (auto face : other.faces) {
    for (unsigned &v : face.vertices)
      v += first;
    face.id += id_shift;
    mesh.faces.push_back(face);
  }
}

} // namespace raybend
