// One metatarsal, clamped at the base and loaded at the head, against CalculiX with 20-node hexahedra.
// Needs the program `ccx` (Debian: calculix-ccx); its absence is a failure.
// Label: fast (3 s).
#include "geometry/foot_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/forefoot_mesh.hpp"
#include "meshing/tags.hpp"
#include "solver/body/body.hpp"
#include "tests/ccx/ccx.hpp"
#include "tests/sample_foot.hpp"
#include <catch2/catch.hpp>
#include <map>

using namespace raybend;

namespace {

constexpr int ray = 2;
constexpr double force = 10; // N, dorsal, spread evenly over the distal face
constexpr unsigned base_face = 1, tip_face = 2;

// The bone cells of one ray out of the forefoot's mesh.
CoarseMesh bone_mesh() {
  const CoarseMesh foot = build_forefoot_mesh();
  CoarseMesh mesh;
  std::map<unsigned, unsigned> kept;
  for (std::size_t i = 0; i < foot.cells.size(); ++i) {
    double b = 0;
    for (const unsigned v : foot.cells[i])
      b += foot.vertices[v][1] / 8;
    if ((foot.tags[i] != tag_cortical && foot.tags[i] != tag_trabecular) || logical::ray_of(b) != ray)
      continue;
    std::array<unsigned, 8> cell{};
    for (unsigned v = 0; v < 8; ++v) {
      const unsigned old = foot.cells[i][v];
      if (kept.count(old) == 0) {
        kept[old] = mesh.vertices.size();
        mesh.vertices.push_back(foot.vertices[old]);
      }
      cell[v] = kept[old];
    }
    mesh.cells.push_back(cell);
    mesh.tags.push_back(foot.tags[i]);
    // Vertices 0, 2, 4, 6 are proximal.
    if (mesh.vertices[cell[0]][0] < 1e-9)
      mesh.faces.push_back({{cell[0], cell[2], cell[4], cell[6]}, base_face});
    if (mesh.vertices[cell[1]][0] > logical::pole_station - 1e-9)
      mesh.faces.push_back({{cell[1], cell[3], cell[5], cell[7]}, tip_face});
  }
  return mesh;
}

} // namespace

TEST_CASE("A metatarsal against CalculiX", "[calculix]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  Problem p;
  p.mesh = bone_mesh();
  p.position = [&shape](const Vec3 &l) { return shape.point(l); };
  p.materials = {std::make_shared<NeoHooke>(foot.materials.cortical_e, foot.materials.cortical_nu),
                 std::make_shared<NeoHooke>(foot.materials.trabecular_e, foot.materials.trabecular_nu)};
  p.material_at = [](const Vec3 &, unsigned tag) { return tag == tag_cortical ? 0u : 1u; };
  p.fixed = {{base_face, {true, true, true}, {}}};
  double area = 1;
  p.tractions = {{tip_face, [&area](const Vec3 &) { return Vec3{0, 0, force / area}; }}};
  {
    const Body unloaded(p, 1);
    area = unloaded.face_area(tip_face);
  }
  Body body(p, 1);
  body.solve_linear(1e-9);

  const CcxAnswer answer = run_ccx(body);

  // Tip: mean displacement along the force, each with its own elements' work-conjugate weights (the
  // consistent forces of a uniform unit traction). 0.5 %: 20- and 27-node elements of one mesh, both near
  // convergence.
  double theirs = 0;
  for (const auto &[n, f] : ccx_forces(body))
    theirs += f[2] / force * answer.displacement.at(n)[2];
  const double ours = body.face_integral(tip_face, [](const Vec3 &) { return Vec3{0, 0, 1}; }) / area;
  INFO("tip displacement " << ours << ", CalculiX " << theirs << " mm: " << 100 * (ours / theirs - 1)
                           << " %; CG iterations " << body.iterations);
  CHECK(ours == Approx(theirs).epsilon(0.005));

  // Stress along the axis at the 3 x 3 x 3 integration points of the cortical cells of the shaft's middle
  // third of the canal: stations 2 to 3.
  const Vec3 t = shape.axis_tangent(ray, 2.5);
  const dealii::Tensor<1, 3> axis({t[0], t[1], t[2]});
  std::vector<bool> watched;
  for (const auto &cell : body.level().dofs.active_cell_iterators())
    watched.push_back(cell->material_id() == tag_cortical && cell->center()[0] > 2 && cell->center()[0] < 3);
  double largest = 0, apart = 0, our_peak = 0, square = 0;
  unsigned points = 0, count = 0;
  body.everywhere(
      [&](const Sample &s, double) {
        const unsigned i = count / 27, q = count % 27;
        ++count;
        if (!watched[i])
          return;
        const double a = axis * (body.small_stress(s) * axis);
        const double b = axis * (answer.stress.at(i + 1).at(q) * axis);
        largest = std::max(largest, std::abs(b));
        our_peak = std::max(our_peak, std::abs(a));
        apart = std::max(apart, std::abs(a - b));
        square += (a - b) * (a - b);
        ++points;
      },
      3);
  REQUIRE(points >= 27 * 32);
  INFO("axial stress: CalculiX's peak " << largest << ", ours " << our_peak << " MPa; largest difference "
                                        << apart << ", root mean square " << std::sqrt(square / points));
  CHECK(our_peak == Approx(largest).epsilon(0.02));
  CHECK(apart < 0.02 * largest);
}
