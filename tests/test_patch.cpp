// The operator itself: patch test, rigid-body modes, rotations, tangent against differences.
// Label: fast (1 s).
#include "solver/body/body.hpp"
#include "solver/materials/hyperfoam.hpp"
#include "solver/materials/transverse_bone.hpp"
#include "solver/newton/descend.hpp"
#include "tests/expand_matrix.hpp"
#include <catch2/catch.hpp>
#include <deal.II/lac/lapack_full_matrix.h>
#include <deal.II/numerics/vector_tools.h>
#include <random>

using namespace raybend;
using dealii::transpose;

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

// A curved, distorted body of two cells.
Vec3 bent(const Vec3 &l) {
  return {l[0] + 0.15 * l[1] * l[1] + 0.1 * l[0] * l[2], l[1] + 0.12 * l[0] * l[0] - 0.1 * l[1] * l[2],
          l[2] + 0.1 * l[0] * l[1]};
}

// Sets u = field(X) at every node.
void interpolate(Body &body, const std::function<Vec3(const Vec3 &)> &field) {
  struct Wrapped : dealii::Function<3> {
    const std::function<Vec3(const Vec3 &)> &f;
    explicit Wrapped(const std::function<Vec3(const Vec3 &)> &f) : Function<3>(3), f(f) {}
    double value(const dealii::Point<3> &p, unsigned c) const override { return f({p[0], p[1], p[2]})[c]; }
  } wrapped(field);
  dealii::VectorTools::interpolate(*body.level().mapping, body.level().dofs, wrapped, body.u);
}

// Two curved boxes one above the other with everything the operator knows: contact, ground that grips and
// slides, springs in space, on the slide and on a carrier of two modes, ties, tractions, body force, region
// forces. No unknown is prescribed.
Problem full_problem() {
  Problem p = box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1.0, 0.3));
  append(p.mesh, box_mesh({0, 0, -2}, {2, 1, -1}, {2, 1, 1}, 2), 10);
  p.materials.push_back(std::make_shared<GasFoam>(1.2, 0.1, 0.1, 0.2));
  p.material_at = [](const Vec3 &, unsigned tag) { return tag - 1; };
  // The lower body is pushed up by 0.95 to 1.05: part of the faces overlap, part gape.
  p.position = [](const Vec3 &l) {
    const Vec3 q = bent({l[0], l[1], l[2] < -0.5 ? l[2] + 1 : l[2]});
    return l[2] < -0.5 ? q + Vec3{0, 0, 0.05 * (l[0] - 1)} : q;
  };
  const Vec3 up = unit({-0.2, 0.1, 1});
  p.contact.push_back({5, 16, 2, 3.0, up, {0, 0, 1}});
  p.ground.push_back({15,
                      2.0,
                      up,
                      {0, 0, 1},
                      [](const Vec3 &x) { return 0.05 * (x[0] - 1); },
                      [](const Vec3 &x) { return 0.3 * x[0]; }});
  const Vec3 forward = unit({1, 0, 0.2});
  p.slide = {[forward](const Vec3 &) { return forward; }, [](const Vec3 &x) { return Vec3{-x[1], x[0], 0}; }};
  p.springs.push_back({1, {1, 0, 0}, 0.5, 0.2, true});
  p.springs.push_back({12, {0, 1, 0}, 0.3, 0.1, false});
  p.springs.push_back({14, {0, 1, 0}, 0.2, 0.4, false, true});
  p.tractions.push_back({6, [](const Vec3 &x) { return Vec3{0.01, 0.02 * x[0], -0.05}; }});
  p.body_force = [](const Vec3 &x) { return Vec3{0, 0, -0.02 * x[1]}; };
  p.carrier.modes = {[up](const Vec3 &) { return up; }, [](const Vec3 &x) { return Vec3{0, -x[2], x[1]}; }};
  p.carrier.force = 0.3;
  const auto end = [](double from) {
    return [from](const Vec3 &l, unsigned tag) { return tag == 1 && l[0] > from ? l[0] - from : 0.0; };
  };
  p.ties.push_back({end(1.0), unit({1, 0, 0.3}), {-3, 0.2, 0.1}, 0.2, 0.7, 0.1}); // taut
  p.ties.push_back(
      {end(0.5), unit({1, 0.1, 0}), {-3, -0.2, 0.1}, -5.0, 0.4, 0.05}); // slack but for its constant part
  // Two that swing: one on the carrier and one between two regions, short enough to turn.
  p.ties.push_back({end(0.5), unit({1, 0.2, -0.1}), {-1, 0.1, 0.3}, 0.3, 0.5, 0.1});
  p.ties.back().length = 2.5;
  p.ties.push_back({end(1.0), unit({1, 0, 0.3}), {}, 0.2, 0.6, 0, [](const Vec3 &l, unsigned tag) {
                      return tag == 1 && l[0] < 1 ? 1 - l[0] : 0.0;
                    }});
  p.ties.back().length = 0.8;
  // A stop between two regions that hang on the carrier at anchors of their own.
  Tie stop{end(1.0), unit({1, 0.1, 0.2}), {0.9, 0.2, 0.3}, 0, 0};
  stop.other = [](const Vec3 &l, unsigned tag) { return tag == 1 && l[0] < 1 ? 1 - l[0] : 0.0; };
  stop.both_on_carrier = true;
  stop.other_anchor = {0.1, 0.2, 0.1};
  stop.stop = 0.3;
  stop.stop_force = 0.7;
  p.ties.push_back(stop);
  p.carrier.holding = {{}, {0.4, {0.2}, {0.05}}};
  p.region_forces.push_back({end(1.0), {0, 0, 0.1}});
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

TEST_CASE("Six rigid-body modes, and only six", "[patch]") {
  for (const bool bone : {false, true}) {
    const dealii::Tensor<1, 3> axis({1, 0.3, 0.2});
    MaterialPtr material;
    if (bone)
      material = std::make_shared<TransverseBone>(17, 11.5, 0.3, 3.3, axis);
    else
      material = std::make_shared<NeoHooke>(1.0, 0.3);
    Body body(box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, material, bent), 0);
    body.op().linearize(body.u, 0, false);
    LowerTriangle k;
    body.op().assemble(k);
    const unsigned n = k.size();
    dealii::LAPACKFullMatrix<double> dense(n, n);
    k.visit([&dense](unsigned row, unsigned column, double value) {
      dense(row, column) = dense(column, row) = value;
    });
    dealii::FullMatrix<double> vectors;
    dealii::Vector<double> values;
    dense.compute_eigenvalues_symmetric(-1e9, 1e9, 0.0, values, vectors);
    REQUIRE(values.size() == n);
    double sixth = 0;
    for (unsigned i = 0; i < 6; ++i)
      sixth = std::max(sixth, std::abs(values[i]));
    INFO("sixth " << sixth << ", seventh " << values[6] << ", last " << values[n - 1]);
    CHECK(values[6] > 0);
    CHECK(sixth < 1e-10 * values[6]); // verification catalogue G1

    // K times each rigid mode, matrix-free, against the size of the matrix entries times the mode.
    for (unsigned mode = 0; mode < 6; ++mode) {
      interpolate(body, [mode](const Vec3 &x) {
        Vec3 e{};
        e[mode % 3] = 1;
        return mode < 3 ? e : cross(e, x);
      });
      Vector image(body.u);
      body.op().vmult(image, body.u);
      CHECK(image.linfty_norm() < 1e-12 * values[n - 1] * body.u.linfty_norm());
    }
  }
}

TEST_CASE("A finite rotation of a curved body costs no stress", "[patch]") {
  Body body(box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1000.0, 0.3), bent), 1);
  // 120 degrees about (1, 1, 1): x -> z -> y -> x.
  interpolate(body, [](const Vec3 &x) { return Vec3{x[2], x[0], x[1]} - x; });
  Vector residual(body.u);
  const auto result = body.op().evaluate(body.u, 1.0, &residual);
  REQUIRE(result.admissible);
  CHECK(residual.linfty_norm() < 1e-12 * 1000); // MPa times areas below 1 mm2
  CHECK(std::abs(result.energy) < 1e-12 * 1000);
  // The tangent there is the tangent at rest, turned: energy of a turned strain equals that of the strain.
  body.op().linearize(body.u, 1.0, false);
  Vector strain(body.u), image(body.u), keep(body.u);
  interpolate(body, [](const Vec3 &x) { return Vec3{0, 0.3 * x[0], 0}; });
  strain = body.u;
  body.op().vmult(image, strain);
  const double turned = image * strain;
  body.u = 0;
  body.op().linearize(body.u, 1.0, false);
  interpolate(body, [](const Vec3 &x) { return Vec3{0.3 * x[0], 0, 0}; }); // the rotation brings x to y
  body.op().vmult(image, body.u);
  CHECK(turned == Approx(image * body.u).epsilon(1e-11));
}

TEST_CASE("Tangent and residual of the whole operator against differences", "[patch]") {
  const bool mixed = GENERATE(false, true);
  Problem p = full_problem();
  if (mixed) // the upper body nearly incompressible, its volume change projected
    p.materials[0] = std::make_shared<NeoHooke>(1.0, 0.49, true);
  Body body(p, 1);
  SolidOperator &op = body.op();
  INFO((mixed ? "mixed" : "displacement"));
  std::mt19937 random(5);
  std::uniform_real_distribution<double> uniform(-1, 1);
  Vector direction(body.u), other(body.u);
  interpolate(body, [](const Vec3 &x) { return Vec3{0.05 * x[1] * x[0], 0.03 * x[2], -0.04 * x[0] * x[0]}; });
  for (unsigned i = 0; i < body.u.locally_owned_size(); ++i) {
    body.u.local_element(i) += 0.002 * uniform(random);
    direction.local_element(i) = uniform(random);
    other.local_element(i) = uniform(random);
  }
  const double load = 0.8;
  const auto residual = [&](double h) {
    Vector v(body.u), r(body.u);
    v.add(h, direction);
    REQUIRE(op.evaluate(v, load, &r).admissible);
    return r;
  };
  const auto energy = [&](double h) {
    Vector v(body.u);
    v.add(h, direction);
    return op.evaluate(v, load, nullptr).energy;
  };
  // Everything is at work: part of the contact and of the ground bear, one tie is taut, one slack.
  op.linearize(body.u, load, false);
  Vector active, all;
  op.activity(active, all);
  const double bearing = active.l1_norm() / all.l1_norm();
  CHECK((bearing > 0.05 && bearing < 0.95));
  CHECK(op.ground_force(body.u) > 0);
  const auto tension = op.tie_tensions(body.u, load);
  CHECK(tension[0] > 0.1 * load);
  CHECK(tension[1] == Approx(0.05 * load).epsilon(1e-14));
  CHECK(tension[2] > 0.2 * load); // the two that swing
  CHECK(tension[3] > 0.1 * load);

  // Central differences of fourth order with a step that leaves the sets of bearing points as they are.
  const double h = 2e-6;
  const double de = (8 * (energy(h) - energy(-h)) - (energy(2 * h) - energy(-2 * h))) / (12 * h);
  CHECK(de == Approx(residual(0) * direction).epsilon(1e-6));
  Vector difference = residual(h);
  difference.add(-1.0, residual(-h));
  difference *= 8 / (12 * h);
  difference.add(-1 / (12 * h), residual(2 * h), 1 / (12 * h), residual(-2 * h));
  Vector image(body.u), back(body.u);
  op.vmult(image, direction);
  difference.add(-1.0, image);
  INFO("tangent against differences: " << difference.l2_norm() / image.l2_norm());
  CHECK(difference.l2_norm() < 1e-6 * image.l2_norm());
  op.vmult(back, other);
  CHECK(image * other == Approx(back * direction).epsilon(1e-11)); // symmetry

  // The assembled sparse part plus the low-rank part is the same matrix; so is the diagonal.
  dealii::SparsityPattern pattern;
  dealii::SparseMatrix<double> k;
  LowerTriangle lower;
  op.assemble(lower);
  expand(lower, pattern, k);
  dealii::Vector<double> x(k.m()), y(k.m());
  for (unsigned i = 0; i < k.m(); ++i)
    x[i] = direction[i];
  k.vmult(y, x);
  Vector low(body.u), diagonal(body.u);
  low = 0;
  op.low_rank().vmult_add(low, direction);
  op.compute_diagonal(diagonal);
  Vector low_diagonal(body.u);
  low_diagonal = 0;
  op.low_rank().add_diagonal(low_diagonal);
  double apart = 0, diagonal_apart = 0;
  for (unsigned i = 0; i < k.m(); ++i) {
    apart = std::max(apart, std::abs(y[i] + low[i] - image[i]));
    diagonal_apart = std::max(diagonal_apart, std::abs(k.diag_element(i) + low_diagonal[i] - diagonal[i]));
  }
  CHECK(apart < 1e-12 * image.linfty_norm());
  CHECK(diagonal_apart < 1e-12 * diagonal.linfty_norm());
}

TEST_CASE("Ground on any of the six faces: tangent against differences", "[patch]") {
  // The gap changes sign across the face and the grip is uneven, so that a point taken for another shows.
  const unsigned id = GENERATE(1, 2, 3, 4, 5, 6);
  INFO("face " << id);
  Problem p = box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1.0, 0.3), bent);
  const Vec3 direction = unit({0.5, -0.4, 0.7});
  p.ground.push_back({id, 2.0, direction, unit({1, 1, 1}),
                      [](const Vec3 &x) { return 0.1 * std::sin(4 * x[0] + 5 * x[1] + 7 * x[2]); },
                      [](const Vec3 &x) { return 0.3 + 0.1 * x[0] + 0.2 * x[1] * x[2]; }});
  Body body(p, 1);
  SolidOperator &op = body.op();
  std::mt19937 random(5);
  std::uniform_real_distribution<double> uniform(-1, 1);
  Vector turn(body.u), image(body.u);
  for (unsigned i = 0; i < turn.locally_owned_size(); ++i)
    turn.local_element(i) = uniform(random);
  const double h = 1e-7;
  Vector moved(body.u), before(body.u), after(body.u);
  moved.equ(h, turn);
  REQUIRE(op.evaluate(moved, 1.0, &after).admissible);
  moved.equ(-h, turn);
  REQUIRE(op.evaluate(moved, 1.0, &before).admissible);
  after -= before;
  after *= 1 / (2 * h);
  op.linearize(body.u, 1.0, false);
  Vector active, all;
  op.activity(active, all);
  const double bearing = active.l1_norm() / all.l1_norm();
  CHECK((bearing > 0.1 && bearing < 0.9));
  op.vmult(image, turn);
  after -= image;
  CHECK(after.l2_norm() < 1e-6 * image.l2_norm());
}

TEST_CASE("The carrier balances: springs, ties and its force", "[patch]") {
  // Residual zero means, by shifting the whole body and the carrier along the direction of mode 0, that
  // ground reaction equals carrier force minus the loads on the body (all along `up`; statics).
  Problem p = full_problem();
  const Vec3 up = p.contact[0].direction, forward = {up[2], 0, -up[0]};
  // Stiff springs to the carrier; nothing holds the bodies in space but the ground, along `up`.
  p.springs = {{1, {1, 0, 0}, 20, 10, true}, {12, {0, 1, 0}, 10, 10, true}, {14, up, 0, 0.4, false, true}};
  p.slide = {[forward](const Vec3 &) { return forward; }};
  p.carrier.modes.resize(1);
  p.body_force = {};
  p.tractions.clear();
  Body body(p, 1);
  NewtonReport report;
  for (const double load : {0.5, 1.0})
    report = body.solve(load, 0.3, 1e-10);
  INFO(report.reason);
  REQUIRE(report.converged);
  // What grips or hangs on the slide has no part along `up`. Ties pull between body and carrier, springs too;
  // the region force (0, 0, 0.1) N acts on the body alone.
  CHECK(body.op().ground_force(body.u) == Approx(0.3 - dot(up, {0, 0, 0.1})).epsilon(1e-7));
}
