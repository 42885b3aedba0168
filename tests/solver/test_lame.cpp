// Thick cylinder and sphere under inner pressure (Lame), also nearly incompressible.
// Label: fast (6 s).
#include "meshing/block_mesh.hpp"
#include "solver/body/body.hpp"
#include <catch2/catch.hpp>

using namespace raybend;

namespace {

// Quarter of a cylinder, plane strain; logical (radius, angle / (pi/2), z). Pressure on the inner face.
Problem cylinder(double a, double b, double e, double nu, double pressure,
                 const std::array<unsigned, 3> &cells, bool mixed = false) {
  Problem p =
      box_problem({a, 0, 0}, {b, 1, 1}, cells, std::make_shared<NeoHooke>(e, nu, mixed), [](const Vec3 &l) {
        return Vec3{l[0] * std::cos(pi / 2 * l[1]), l[0] * std::sin(pi / 2 * l[1]), l[2]};
      });
  p.fixed = {{3, {false, true, false}, {}},
             {4, {true, false, false}, {}},
             {5, {false, false, true}, {}},
             {6, {false, false, true}, {}}};
  p.tractions = {{1, [pressure](const Vec3 &x) { return pressure * unit({x[0], x[1], 0}); }}};
  return p;
}

// Eighth of a sphere: three blocks, logical radius max(x, y, z) from 1/2 to 1.
Problem sphere(double a, double b, double e, double nu, double pressure, unsigned radial) {
  Problem p =
      box_problem({0, 0, 0}, {1, 1, 1}, {1, 1, 1}, std::make_shared<NeoHooke>(e, nu), [=](const Vec3 &l) {
        const double m = std::max({l[0], l[1], l[2]}), r = a + (b - a) * (2 * m - 1);
        return r *
               unit({std::tan(pi / 4 * l[0] / m), std::tan(pi / 4 * l[1] / m), std::tan(pi / 4 * l[2] / m)});
      });
  p.mesh = octant_shell(0.5, 1, radial);
  name_outer_faces(p.mesh, [](const Vec3 &centre) -> unsigned {
    for (unsigned axis = 0; axis < 3; ++axis)
      if (centre[axis] < 1e-9)
        return 10 + axis;
    return std::max({centre[0], centre[1], centre[2]}) < 0.5 + 1e-9 ? 1 : 0;
  });
  check_orientation(p.mesh);
  for (unsigned i = 0; i < 3; ++i)
    p.fixed.push_back({10 + i, {i == 0, i == 1, i == 2}, {}});
  p.tractions = {{1, [pressure](const Vec3 &x) { return pressure * unit(x); }}};
  return p;
}

double radial(const Sample &s) {
  return dot(s.u, unit({s.x[0], s.x[1], 0}));
}

double hoop(const Body &body, const Vec3 &logical) {
  const Sample s = body.at(logical);
  const Vec3 t = unit({-s.x[1], s.x[0], 0});
  const dealii::Tensor<1, 3> n({t[0], t[1], t[2]});
  return n * (body.small_stress(s) * n);
}

} // namespace

TEST_CASE("C4: thick cylinder", "[lame]") {
  // a = 10, b = 20, p = 10, E = 10000, nu = 0.3, plane strain (Lame; calc). 0.1 % of u, 0.5 % of stress.
  Body body(cylinder(10, 20, 10000, 0.3, 10, {2, 2, 1}), 2);
  body.solve_linear();
  CHECK(radial(body.at({10, 0.4, 0.5})) == Approx(0.0190667).epsilon(0.001));
  CHECK(radial(body.at({20, 0.4, 0.5})) == Approx(0.0121333).epsilon(0.001));
  CHECK(hoop(body, {10, 0.4, 0.5}) == Approx(16.6667).epsilon(0.005));
  CHECK(hoop(body, {20, 0.4, 0.5}) == Approx(6.66667).epsilon(0.005));
}

namespace {

// u(a)/exact - 1 for the nearly incompressible cylinder of MacNeal & Harder 1985: a = 3, b = 9, E = 1000, p =
// 1, five cells through the wall with radii 3, 3.5, 4.2, 5.2, 6.75, 9 (from memory), 10 degrees each. Exact
// by Lame,
//   u(a) = (1 + nu) p a/E ((1 - 2 nu) a^2 + b^2)/(b^2 - a^2)     (5.0399e-3, 5.0602e-3, 5.0623e-3 at 0.49,
//   0.499, 0.4999; calc).
double inner_miss(double nu, unsigned refinements, bool mixed = false) {
  Problem p = cylinder(3, 9, 1000, nu, 1, {5, 9, 1}, mixed);
  const double radii[6] = {3, 3.5, 4.2, 5.2, 6.75, 9};
  for (Vec3 &v : p.mesh.vertices)
    v[0] = radii[std::lround((v[0] - 3) / 1.2)];
  Body body(p, refinements);
  body.solve_linear(1e-9);
  const double exact = (1 + nu) * 3e-3 * ((1 - 2 * nu) * 9 + 81) / 72;
  return radial(body.at({3, 0.5, 0.5})) / exact - 1;
}

} // namespace

TEST_CASE("C4: cylinder of MacNeal and Harder, Poisson's ratio of soft tissue and above", "[lame]") {
  // 0.474 is the default tissue (K/mu = 18.75). 0.5 % on the published mesh (verification catalogue).
  for (const double nu : {0.3, 0.474, 0.49}) {
    const double miss = inner_miss(nu, 0);
    INFO("nu " << nu << ": u(a) " << 100 * miss << " % off");
    CHECK(std::abs(miss) < 0.005);
  }
  // Through the multigrid cycle: an order of magnitude closer with one refinement.
  const double miss = inner_miss(0.474, 1);
  INFO("refined: u(a) " << 100 * miss << " % off");
  CHECK(std::abs(miss) < 0.0005);
}

TEST_CASE("C4: mixed cells do not lock", "[lame]") {
  // 0.5 % on the published mesh (verification catalogue).
  for (const double nu : {0.474, 0.49, 0.499, 0.4999}) {
    const double miss = inner_miss(nu, 0, true);
    INFO("nu " << nu << ": u(a) " << 100 * miss << " % off");
    CHECK(std::abs(miss) < 0.005);
  }
  // Through the multigrid cycle.
  const double miss = inner_miss(0.499, 1, true);
  INFO("refined: u(a) " << 100 * miss << " % off");
  CHECK(std::abs(miss) < 0.0005);
}

// Plain displacement elements lock close to 0.5, here as elsewhere: the reason for mixed cells. Expected to
// miss 0.5 %; the test fails the day they do not.
TEST_CASE("C4: displacement cells lock at nu = 0.4999", "[lame][!shouldfail]") {
  const double miss = inner_miss(0.4999, 0);
  INFO("u(a) " << 100 * miss << " % off");
  CHECK(std::abs(miss) < 0.005);
}

TEST_CASE("C5: thick sphere", "[lame]") {
  // Same data as C4: u(a) = 0.008, u(b) = 0.003, hoop stress 7.14286 inside (Lame; calc). 0.1 % of u, 0.5 %
  // of stress, which at a face between cells and air is second order in the cell's size: 16 cells through the
  // wall.
  Body body(sphere(10, 20, 10000, 0.3, 10, 2), 3);
  body.solve_linear();
  INFO("CG iterations " << body.iterations);
  for (const Vec3 &d : {Vec3{1, 0.5, 0.25}, Vec3{0.3, 1, 0.6}, Vec3{0.8, 0.8, 1}}) {
    const Sample in = body.at(0.5 * d), out = body.at(d);
    CHECK(norm(in.x) == Approx(10).epsilon(1e-4));
    CHECK(norm(in.u) == Approx(0.008).epsilon(0.001));
    CHECK(norm(out.u) == Approx(0.003).epsilon(0.001));
    const Vec3 n = unit(in.x);
    const Sym2 s = body.small_stress(in);
    const dealii::Tensor<1, 3> normal({n[0], n[1], n[2]});
    CHECK(0.5 * (trace(s) - normal * (s * normal)) == Approx(7.14286).epsilon(0.005));
  }
}
