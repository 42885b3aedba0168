// One metatarsal, clamped at the base and loaded at the head, against CalculiX with 20-node hexahedra.
// Needs the program `ccx` (Debian: calculix-ccx); its absence is a failure.
// Label: fast (3 s).
#include "geometry/foot_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/forefoot_mesh.hpp"
#include "meshing/tags.hpp"
#include "solver/body/body.hpp"
#include "tests/sample_foot.hpp"
#include <catch2/catch.hpp>
#include <cstdlib>
#include <deal.II/base/quadrature_lib.h>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

using namespace raybend;
using dealii::Point;

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

// Unit coordinates of the nodes of a C3D20 element in CalculiX's order: corners, edges below, edges above,
// upright edges.
const std::array<std::array<double, 3>, 20> c3d20 = {
    {{0, 0, 0},  {1, 0, 0},  {1, 1, 0},  {0, 1, 0},  {0, 0, 1},  {1, 0, 1},  {1, 1, 1},
     {0, 1, 1},  {.5, 0, 0}, {1, .5, 0}, {.5, 1, 0}, {0, .5, 0}, {.5, 0, 1}, {1, .5, 1},
     {.5, 1, 1}, {0, .5, 1}, {0, 0, .5}, {1, 0, .5}, {1, 1, .5}, {0, 1, .5}}};

// The 8-node serendipity functions on the unit square; nodes at (a, b) in {0, 1/2, 1}^2 without the centre.
double serendipity(double a, double b, double x, double y) {
  const double p = 2 * x - 1, q = 2 * y - 1, pa = 2 * a - 1, qb = 2 * b - 1;
  if (a == 0.5)
    return 0.5 * (1 - p * p) * (1 + q * qb);
  if (b == 0.5)
    return 0.5 * (1 + p * pa) * (1 - q * q);
  return 0.25 * (1 + p * pa) * (1 + q * qb) * (p * pa + q * qb - 1);
}

struct Export {
  std::map<unsigned, Vec3> nodes;
  std::vector<std::array<unsigned, 20>> elements;
  std::vector<unsigned> materials;
  std::map<unsigned, double> tip_weight; ///< integral of each node's function over the tip, mm2
  std::vector<unsigned> clamped;
};

// The finest level as 20-node elements: the Q2 nodes without those inside faces and cells. An element's
// number is its place among the active cells.
Export export_level(const Body &body) {
  Export e;
  const Level &level = body.level();
  const auto &support = level.fe.get_unit_support_points();
  std::vector<dealii::types::global_dof_index> index(level.fe.n_dofs_per_cell());
  const dealii::QGauss<2> quadrature(3);
  dealii::FEFaceValues<3> face(*level.mapping, level.fe, quadrature, dealii::update_JxW_values);
  for (const auto &cell : level.dofs.active_cell_iterators()) {
    cell->get_dof_indices(index);
    std::array<unsigned, 20> element{};
    for (unsigned n = 0; n < 20; ++n)
      for (unsigned i = 0; i < index.size(); ++i)
        if (level.fe.system_to_component_index(i).first == 0 &&
            support[i].distance(Point<3>(c3d20[n][0], c3d20[n][1], c3d20[n][2])) < 1e-9) {
          element[n] = index[i] + 1; // a node's number: its first unknown, from 1
          Vec3 &x = e.nodes[element[n]];
          for (unsigned c = 0; c < 3; ++c)
            for (unsigned k = 0; k < index.size(); ++k)
              if (level.fe.system_to_component_index(k).first == c && support[k].distance(support[i]) < 1e-9)
                x[c] = level.position[index[k]];
        }
    e.elements.push_back(element);
    e.materials.push_back(body.problem().material_at({}, cell->material_id()));
    for (unsigned n = 0; n < 20; ++n)
      if (c3d20[n][0] == 0 && cell->face(0)->at_boundary() && cell->face(0)->boundary_id() == base_face)
        e.clamped.push_back(element[n]);
    if (cell->face(1)->at_boundary() && cell->face(1)->boundary_id() == tip_face) {
      face.reinit(cell, 1);
      for (unsigned n = 0; n < 20; ++n)
        if (c3d20[n][0] == 1)
          for (unsigned q = 0; q < quadrature.size(); ++q) // points of face 1: (y, z) of the cell
            e.tip_weight[element[n]] +=
                face.JxW(q) *
                serendipity(c3d20[n][1], c3d20[n][2], quadrature.point(q)[0], quadrature.point(q)[1]);
    }
  }
  return e;
}

void write_input(const Export &e, const Forefoot &foot, double area, const std::vector<unsigned> &watched,
                 const std::filesystem::path &path) {
  std::ofstream out(path);
  out.precision(12);
  out << "*NODE, NSET=ALL\n";
  for (const auto &[n, x] : e.nodes)
    out << n << ", " << x[0] << ", " << x[1] << ", " << x[2] << "\n";
  for (const unsigned material : {0u, 1u}) {
    out << "*ELEMENT, TYPE=C3D20, ELSET=M" << material << "\n";
    for (std::size_t i = 0; i < e.elements.size(); ++i)
      if (e.materials[i] == material) {
        out << i + 1;
        for (unsigned n = 0; n < 20; ++n) // at most 16 entries a line
          out << (n == 10 ? ",\n" : ", ") << e.elements[i][n];
        out << "\n";
      }
  }
  const FootMaterials &m = foot.materials;
  out << "*MATERIAL, NAME=CORTICAL\n*ELASTIC\n" << m.cortical_e << ", " << m.cortical_nu << "\n";
  out << "*MATERIAL, NAME=TRABECULAR\n*ELASTIC\n" << m.trabecular_e << ", " << m.trabecular_nu << "\n";
  out << "*SOLID SECTION, ELSET=M0, MATERIAL=CORTICAL\n*SOLID SECTION, ELSET=M1, MATERIAL=TRABECULAR\n";
  out << "*NSET, NSET=TIP\n";
  for (const auto &[n, w] : e.tip_weight)
    out << n << ",\n";
  out << "*ELSET, ELSET=MIDSHAFT\n";
  for (const unsigned i : watched)
    out << i + 1 << ",\n";
  out << "*BOUNDARY\n";
  for (const unsigned n : e.clamped)
    out << n << ", 1, 3\n";
  out << "*STEP\n*STATIC\n*CLOAD\n";
  for (const auto &[n, w] : e.tip_weight)
    out << n << ", 3, " << force * w / area << "\n";
  out << "*NODE PRINT, NSET=TIP\nU\n*EL PRINT, ELSET=MIDSHAFT\nS\n*END STEP\n";
}

struct Answer {
  std::map<unsigned, Vec3> displacement;
  std::map<unsigned, std::vector<Sym2>> stress; ///< by element, from 1, at the integration points in order
};

Answer read_answer(const std::filesystem::path &path) {
  Answer a;
  std::ifstream in(path);
  bool stress = false;
  for (std::string line; std::getline(in, line);) {
    if (line.find("displacements") != std::string::npos || line.find("stresses") != std::string::npos)
      stress = line.find("stresses") != std::string::npos;
    std::istringstream words(line);
    unsigned number = 0, point = 0;
    if (!(words >> number))
      continue;
    if (stress) { // element, point, xx yy zz xy xz yz
      double s[6];
      words >> point >> s[0] >> s[1] >> s[2] >> s[3] >> s[4] >> s[5];
      Sym2 t;
      t[0][0] = s[0];
      t[1][1] = s[1];
      t[2][2] = s[2];
      t[0][1] = s[3];
      t[0][2] = s[4];
      t[1][2] = s[5];
      a.stress[number].push_back(t);
    } else {
      Vec3 &u = a.displacement[number];
      words >> u[0] >> u[1] >> u[2];
    }
  }
  return a;
}

struct Scratch {
  std::filesystem::path path;
  Scratch() {
    std::string name = (std::filesystem::temp_directory_path() / "raybend_ccx_XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr)
      throw std::runtime_error("no temporary directory can be made");
    path = name;
  }
  ~Scratch() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
};

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

  // Cortical cells of the shaft's middle third of the canal: stations 2 to 3.
  std::vector<unsigned> watched;
  std::vector<dealii::DoFHandler<3>::active_cell_iterator> cells;
  for (const auto &cell : body.level().dofs.active_cell_iterators())
    cells.push_back(cell);
  for (unsigned i = 0; i < cells.size(); ++i) {
    const double s = cells[i]->center()[0];
    if (cells[i]->material_id() == tag_cortical && s > 2 && s < 3)
      watched.push_back(i);
  }
  REQUIRE(watched.size() >= 32);

  const Scratch scratch;
  const Export mesh = export_level(body);
  REQUIRE(!mesh.clamped.empty());
  double total = 0;
  for (const auto &[n, w] : mesh.tip_weight)
    total += w;
  REQUIRE(total == Approx(area).epsilon(1e-6)); // three against four integration points
  write_input(mesh, foot, area, watched, scratch.path / "bone.inp");
  if (std::system("command -v ccx > /dev/null") != 0)
    FAIL("the program ccx is missing; install the package calculix-ccx");
  const std::string run = "cd '" + scratch.path.string() + "' && ccx -i bone > bone.log 2>&1";
  if (std::system(run.c_str()) != 0 || !std::filesystem::exists(scratch.path / "bone.dat")) {
    std::ifstream log(scratch.path / "bone.log");
    FAIL("ccx failed:\n" << std::string(std::istreambuf_iterator<char>(log), {}));
  }
  const Answer answer = read_answer(scratch.path / "bone.dat");
  REQUIRE(answer.displacement.size() == mesh.tip_weight.size());
  REQUIRE(answer.stress.size() == watched.size());

  // Tip: mean displacement along the force, each with its own elements' work-conjugate weights. 0.5 %: 20-
  // and 27-node elements of one mesh, both near convergence.
  double theirs = 0;
  for (const auto &[n, w] : mesh.tip_weight)
    theirs += w / area * answer.displacement.at(n)[2];
  const double ours = body.face_integral(tip_face, [](const Vec3 &) { return Vec3{0, 0, 1}; }) / area;
  INFO("tip displacement " << ours << ", CalculiX " << theirs << " mm: " << 100 * (ours / theirs - 1)
                           << " %; CG iterations " << body.iterations << ", cells " << cells.size());
  CHECK(ours == Approx(theirs).epsilon(0.005));

  // Stress along the axis at the 3 x 3 x 3 integration points (the first axis runs fastest in both programs).
  const Vec3 t = shape.axis_tangent(ray, 2.5);
  const dealii::Tensor<1, 3> axis({t[0], t[1], t[2]});
  const dealii::QGauss<3> quadrature(3);
  double largest = 0, apart = 0, our_peak = 0, square = 0;
  unsigned points = 0;
  for (const unsigned i : watched) {
    const auto &list = answer.stress.at(i + 1);
    REQUIRE(list.size() == 27);
    for (unsigned q = 0; q < 27; ++q) {
      const double a =
          axis * (body.small_stress(body.at(Level::logical_point(cells[i], quadrature.point(q)))) * axis);
      const double b = axis * (list[q] * axis);
      largest = std::max(largest, std::abs(b));
      our_peak = std::max(our_peak, std::abs(a));
      apart = std::max(apart, std::abs(a - b));
      square += (a - b) * (a - b);
      ++points;
    }
  }
  INFO("axial stress: CalculiX's peak " << largest << ", ours " << our_peak << " MPa; largest difference "
                                        << apart << ", root mean square " << std::sqrt(square / points));
  CHECK(our_peak == Approx(largest).epsilon(0.02));
  CHECK(apart < 0.02 * largest);
}
