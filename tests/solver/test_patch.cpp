// Patch tests: fields that the elements must hold exactly, and one element against closed forms.
// Label: fast (1 s).
#include "solver/body/body.hpp"
#include "solver/materials/hyperfoam.hpp"
#include "solver/materials/transverse_bone.hpp"
#include "solver/newton/descend.hpp"
#include <catch2/catch.hpp>

using namespace raybend;

namespace {

// Faces of a hexahedron given by its vertices in lexicographic order.
constexpr unsigned hex_faces[6][4] = {{0, 2, 4, 6}, {1, 3, 5, 7}, {0, 1, 4, 5},
                                      {2, 3, 6, 7}, {0, 1, 2, 3}, {4, 5, 6, 7}};

// MacNeal & Harder 1985: unit cube of seven distorted hexahedra; coordinates read in secondary sources
// (verification catalogue E1). All outer faces have id 1. The fifth cell's Jacobian is slightly negative in
// one corner (-0.013 at inner vertex 12: the published coordinates) but positive at all integration points.
CoarseMesh patch_mesh() {
  CoarseMesh mesh;
  mesh.vertices = {{0, 0, 0},
                   {1, 0, 0},
                   {1, 1, 0},
                   {0, 1, 0},
                   {0, 0, 1},
                   {1, 0, 1},
                   {1, 1, 1},
                   {0, 1, 1},
                   {0.249, 0.342, 0.192},
                   {0.826, 0.288, 0.288},
                   {0.850, 0.649, 0.263},
                   {0.273, 0.750, 0.230},
                   {0.320, 0.186, 0.643},
                   {0.677, 0.305, 0.683},
                   {0.788, 0.693, 0.644},
                   {0.165, 0.745, 0.702}};
  const unsigned cyclic[7][8] = {{0, 1, 2, 3, 8, 9, 10, 11},    {12, 13, 14, 15, 4, 5, 6, 7},
                                 {0, 8, 11, 3, 4, 12, 15, 7},   {9, 1, 2, 10, 13, 5, 6, 14},
                                 {0, 1, 9, 8, 4, 5, 13, 12},    {11, 10, 2, 3, 15, 14, 6, 7},
                                 {8, 9, 10, 11, 12, 13, 14, 15}};
  for (const auto &c : cyclic) {
    const std::array<unsigned, 8> cell = {c[0], c[1], c[3], c[2], c[4], c[5], c[7], c[6]};
    mesh.cells.push_back(cell);
    mesh.tags.push_back(1);
    for (const auto &f : hex_faces)
      if (std::max({cell[f[0]], cell[f[1]], cell[f[2]], cell[f[3]]}) < 8)
        mesh.faces.push_back({{cell[f[0]], cell[f[1]], cell[f[2]], cell[f[3]]}, 1});
  }
  return mesh;
}

Vec3 patch_field(const Vec3 &p) {
  const double s = p[0] + p[1] + p[2];
  return {0.5e-3 * (p[0] + s), 0.5e-3 * (p[1] + s), 0.5e-3 * (p[2] + s)};
}

Problem patch_problem(MaterialPtr material) {
  Problem p = box_problem({0, 0, 0}, {1, 1, 1}, {1, 1, 1}, std::move(material));
  p.mesh = patch_mesh();
  p.fixed = {{1, {true, true, true}, patch_field}};
  return p;
}

} // namespace

TEST_CASE("Patch test of MacNeal and Harder", "[patch]") {
  // E = 1e6, nu = 0.25: strains 1e-3, sigma_ii = 2000, tau = 400 (exact; coordinates read, stresses
  // recomputed). Tolerance 1e-10: a linear field is in the space, only solver and rounding errors remain.
  for (const unsigned refinements : {0u, 1u}) {
    Body body(patch_problem(std::make_shared<NeoHooke>(1e6, 0.25)), refinements);
    body.solve_linear(1e-13);
    double worst = 0, worst_stress = 0;
    for (const Vec3 &p : {Vec3{0.5, 0.5, 0.5}, Vec3{0.3, 0.4, 0.3}, Vec3{0.1, 0.1, 0.5}, Vec3{0.9, 0.2, 0.8},
                          Vec3{0.6, 0.05, 0.4}, Vec3{0.2, 0.9, 0.4}, Vec3{0.7, 0.7, 0.95}}) {
      const Sample s = body.at(p);
      worst = std::max(worst, norm(s.u - patch_field(s.x)));
      const Sym2 stress = body.small_stress(s);
      for (unsigned i = 0; i < 3; ++i)
        for (unsigned j = i; j < 3; ++j)
          worst_stress = std::max(worst_stress, std::abs(stress[i][j] - (i == j ? 2000.0 : 400.0)));
    }
    CHECK(worst < 1e-10 * 2e-3);
    CHECK(worst_stress < 1e-10 * 2000);
  }
}

TEST_CASE("Finite-strain patch test: a homogeneous deformation stays homogeneous", "[patch]") {
  // Held on the whole boundary to u = (F - I) X with strains of 20 to 30 %; exact inside for any homogeneous
  // material.
  const dealii::Tensor<1, 3> axis({1, 0.5, 0});
  const std::pair<std::string, MaterialPtr> laws[] = {
      {"neo-Hooke", std::make_shared<NeoHooke>(2.0, 0.3)},
      {"hyperfoam", std::make_shared<Hyperfoam>(1.0, 8.0, 0.2)},
      {"gas foam", std::make_shared<GasFoam>(1.2, 0.1, 0.1, 0.2)},
      {"soft tissue", std::make_shared<SoftTissue>(0.08, 1.5, 1.5)},
      {"transverse bone", std::make_shared<TransverseBone>(17, 11.5, 0.3, 3.3, axis / axis.norm())}};
  const auto field = [](const Vec3 &p) -> Vec3 {
    return {-0.2 * p[0] + 0.1 * p[1], 0.1 * p[1] + 0.05 * p[2], 0.1 * p[0] + 0.15 * p[2]};
  };
  for (const auto &[name, law] : laws) {
    INFO(name);
    Problem p = patch_problem(law);
    p.fixed[0].value = field;
    Body body(p, 0);
    // N: stress 1 MPa on 1 mm2. Five load steps, as the interior lags behind the boundary at first.
    NewtonReport report;
    for (const double load : {0.2, 0.4, 0.6, 0.8, 1.0})
      report = body.solve(load, 1.0, 1e-11);
    INFO(report.reason << " " << report.residual);
    CHECK(report.converged);
    double worst = 0;
    for (const Vec3 &x :
         {Vec3{0.5, 0.5, 0.5}, Vec3{0.3, 0.4, 0.3}, Vec3{0.1, 0.1, 0.5}, Vec3{0.9, 0.2, 0.8}}) {
      const Sample s = body.at(x);
      worst = std::max(worst, norm(s.u - field(s.x)));
    }
    // Residual 1e-11 N over a stiffness of 0.08 MPa mm at least: 1e-9 mm with room.
    CHECK(worst < 1e-9);
  }
}

TEST_CASE("One element pressed to half its height: closed forms through the solver", "[patch]") {
  // Free sides. Source: verification catalogue F4 and F5 (calc): neo-Hooke mu 1, lambda 1.5 at stretch 0.5:
  // transverse 1.21077, P = -2.43192; hyperfoam mu 1, alpha 8, beta 0.2: 1.10409, -1.10214. Six printed
  // digits.
  struct Row {
    MaterialPtr material;
    double transverse, p;
  };
  for (const Row &row : {Row{std::make_shared<NeoHooke>(NeoHooke::from_lame(1, 1.5)), 1.21077, -2.43192},
                         Row{std::make_shared<Hyperfoam>(1, 8, 0.2), 1.10409, -1.10214}}) {
    Problem p = box_problem({0, 0, 0}, {1, 1, 1}, {1, 1, 1}, row.material);
    p.fixed = {{1, {true, false, false}, {}},
               {3, {false, true, false}, {}},
               {5, {false, false, true}, {}},
               {6, {false, false, true}, [](const Vec3 &) {
                  return Vec3{0, 0, -0.5};
                }}};
    Body body(p, 0);
    for (const double load : {0.25, 0.5, 0.75, 1.0}) {
      const NewtonReport report = body.solve(load, 1.0, 1e-12);
      INFO(report.reason << " " << report.residual);
      REQUIRE(report.converged);
    }
    CHECK(1 + body.at({1, 0.5, 0.5}).u[0] == Approx(row.transverse).epsilon(5.1e-6));
    const Vector reactions = body.unbalanced(1.0, false);
    CHECK(body.sum_on_faces(reactions, {6})[2] == Approx(row.p).epsilon(5.1e-6)); // area 1 mm2
    CHECK(body.sum_on_faces(reactions, {5})[2] ==
          Approx(-body.sum_on_faces(reactions, {6})[2]).epsilon(1e-8)); // balance, G4
    CHECK(std::abs(body.sum_on_faces(reactions, {1})[0]) < 1e-10);
  }
}

TEST_CASE("L-BFGS with the factor of the start goes downhill to the closed form", "[patch]") {
  // F5 as above, by its force in place of its shortening; the factor stays that of the foam at rest.
  Problem p = box_problem({0, 0, 0}, {1, 1, 1}, {1, 1, 1}, std::make_shared<Hyperfoam>(1, 8, 0.2));
  p.fixed = {{1, {true, false, false}, {}}, {3, {false, true, false}, {}}, {5, {false, false, true}, {}}};
  p.tractions = {{6, [](const Vec3 &) { return Vec3{0, 0, -1.10214}; }}};
  const Level level(p, 0, MPI_COMM_WORLD);
  SolidOperator op(p, level);
  Preconditioner factor(op);
  Vector u, residual, again;
  for (Vector *v : {&u, &residual, &again})
    op.initialize_dof_vector(*v);
  op.linearize(u, 1.0, false);
  factor.update(u, 1.0);
  const SolidOperator::Evaluation start = op.evaluate(u, 1.0, &residual);
  SolidOperator::Evaluation here = start;
  const unsigned iterations = descend(op, factor, u, residual, here, 1.0, 1e-6);
  CHECK(iterations > 2);
  CHECK(residual.l2_norm() <= 1e-6);
  CHECK(here.energy < start.energy);
  // What is handed back belongs to the u that is handed back.
  CHECK(op.evaluate(u, 1.0, &again).energy == Approx(here.energy).epsilon(1e-14));
  again -= residual;
  CHECK(again.l2_norm() < 1e-14);
  const auto [least, most] = std::minmax_element(u.begin(), u.end());
  CHECK(*least == Approx(-0.5).margin(1e-5)); // six printed digits of the force
  CHECK(*most == Approx(0.10409).margin(1e-5));
  // Where no step leads down it stops and leaves all as it was.
  const Vector before(u);
  descend(op, factor, u, residual, here, 1.0, 0.0);
  again = u;
  again -= before;
  CHECK(again.l2_norm() < 1e-6);
}
