// Blocks round a square hole, which a shape bends to tubes and discs.
#include "meshing/ring_mesh.hpp"

namespace raybend {

std::array<double, 2> square_ring_point(const unsigned i, const unsigned sides, const double r) {
  const double t = r * (2.0 * (i % sides) / sides - 1);
  switch ((i / sides) % 4) {
  case 0: // right
    return {r, t};
  case 1: // top
    return {-t, r};
  case 2: // left
    return {-r, -t};
  default: // bottom
    return {t, -r};
  }
}

CoarseMesh ring_mesh(double hole, double length, unsigned sides, unsigned across, unsigned along) {
  CoarseMesh mesh;
  const unsigned round = 4 * sides;
  const auto index = [&](unsigned i, unsigned j, unsigned k) {
    return (i % round) + round * (j + (across + 1) * k);
  };
  for (unsigned k = 0; k <= along; ++k)
    for (unsigned j = 0; j <= across; ++j)
      for (unsigned i = 0; i < round; ++i) {
        const auto p = square_ring_point(i, sides, hole + (1 - hole) * j / across);
        mesh.vertices.push_back({p[0], p[1], length * k / along});
      }
  for (unsigned k = 0; k < along; ++k)
    for (unsigned j = 0; j < across; ++j)
      for (unsigned i = 0; i < round; ++i) {
        // Axes of a cell: outwards, round, along: right-handed.
        std::array<unsigned, 8> c{};
        for (unsigned v = 0; v < 8; ++v)
          c[v] = index(i + ((v >> 1) & 1), j + (v & 1), k + ((v >> 2) & 1));
        mesh.cells.push_back(c);
        mesh.tags.push_back(1);
        if (j == 0)
          mesh.faces.push_back({{c[0], c[2], c[4], c[6]}, 3});
        if (j + 1 == across)
          mesh.faces.push_back({{c[1], c[3], c[5], c[7]}, 4});
        if (k == 0)
          mesh.faces.push_back({{c[0], c[1], c[2], c[3]}, 5});
        if (k + 1 == along)
          mesh.faces.push_back({{c[4], c[5], c[6], c[7]}, 6});
      }
  return mesh;
}

} // namespace raybend
