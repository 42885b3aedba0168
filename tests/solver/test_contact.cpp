// Unilateral contact: flat patch, Hertz, lift-off, loads that come and go.
// Label: fast (20 s).
#include "solver/body/body.hpp"
#include "solver/materials/hyperfoam.hpp"
#include "solver/operator/contact_points.hpp"
#include <catch2/catch.hpp>

using namespace raybend;

namespace {

constexpr unsigned lower = 10; // shift of the lower box's face ids

constexpr double overlap =
    1e-3; // mm, at rest: where blocks only touch, nothing holds the upper one in the first step

// Two blocks 20 x 10 x 5 one on the other, held on three symmetry planes, pressed by tractions on top.
Problem blocks(double pressure, double stiffness, double nu) {
  Problem p = box_problem({0, 0, 0}, {20, 10, 5}, {3, 2, 1}, std::make_shared<NeoHooke>(10.0, nu));
  append(p.mesh, box_mesh({0, 0, -6}, {20, 10, -1}, {3, 2, 1}, 2), lower);
  p.materials.push_back(std::make_shared<NeoHooke>(2.0, nu));
  p.material_at = [](const Vec3 &, unsigned tag) { return tag - 1; };
  p.position = [](const Vec3 &l) { return Vec3{l[0], l[1], l[2] < -0.5 ? l[2] + 1 + overlap : l[2]}; };
  p.contact = {{5, 6 + lower, 2, stiffness, {0, 0, 1}, {0, 0, 1}}};
  p.fixed = {{1, {true, false, false}, {}},
             {3, {false, true, false}, {}},
             {1 + lower, {true, false, false}, {}},
             {3 + lower, {false, true, false}, {}},
             {5 + lower, {false, false, true}, {}}};
  p.tractions = {{6, [pressure](const Vec3 &) { return Vec3{0, 0, -pressure}; }}};
  // Frictionless contact holds the upper block only when pressed; a spring far too weak to matter holds it
  // otherwise.
  p.springs = {{2, {0, 0, 1}, 1e-9, 0, false}};
  return p;
}

// Hertz's contact of a sphere of `radius`: contact radius a, plane-strain modulus `star` = E* (frictionless,
// parabolic gap; Johnson 1985 ch. 4; calc).
struct Hertz {
  double radius, a, star;
  double force() const { return 4 * star * a * a * a / (3 * radius); }
  double approach() const { return a * a / radius; }
  double p0() const { return 2 * star * a / (pi * radius); }
  /// Gap at r > a (Johnson 1985 eq. 3.42a), which the contact's radius and the approach both enter.
  double gap(double r) const {
    return r * r / (2 * radius) - approach() +
           p0() / (2 * star * a) * ((2 * a * a - r * r) * std::asin(a / r) + a * std::sqrt(r * r - a * a));
  }
};

// Boussinesq's displacement under a point load on the half-space z > 0, towards it along z.
Vec3 boussinesq(double force, double e, double nu, const Vec3 &x) {
  const double d = norm(x), c = force * (1 + nu) / (2 * pi * e);
  const double out = c * (x[2] / (d * d * d) - (1 - 2 * nu) / (d * (d + x[2])));
  return {out * x[0], out * x[1], c * (2 * (1 - nu) / d + x[2] * x[2] / (d * d * d))};
}

// Quarter blocks `size` wide whose cells grow from the centre of contact.
struct Grading {
  double size, beta = 5.0;
  double operator()(double t) const { return size * std::sinh(beta * t) / std::sinh(beta); }
  double inverse(double x) const { return std::asinh(x / size * std::sinh(beta)) / beta; }
};

// Radius of contact from the pressure on a face: the mean of r^2 weighted by pressure is 2 a^2/5. What the
// stress of coarse cells far outside may add has nothing to do with contact.
double contact_radius(Body &body, unsigned face, double a) {
  double pressed = 0, second = 0;
  body.on_face(face, [&](const Sample &s, double weight, const Vec3 &) {
    const double r2 = s.x[0] * s.x[0] + s.x[1] * s.x[1];
    if (r2 > 4 * a * a)
      return;
    pressed -= weight * body.cauchy_stress(s)[2][2];
    second -= weight * body.cauchy_stress(s)[2][2] * r2;
  });
  return std::sqrt(2.5 * second / pressed);
}

} // namespace

TEST_CASE("Faces that stick shear as compliances in series", "[contact]") {
  // Nothing but u_x(z) is free: simple shear of neo-Hookean blocks is linear at any strain, tau = G gamma, so that the top
  // moves by tau (h/G + 1/grip + h/G') (statics, exact; G = E/2 at nu = 0), pressed or not.
  const double tau = 0.4, grip = 0.25, h = 5, g_upper = 5, g_lower = 1;
  for (const double lifted : {0.0, 0.02}) {
    Problem p = blocks(0, 50, 0);
    p.position = [=](const Vec3 &l) {
      return Vec3{l[0], l[1], l[2] < -0.5 ? l[2] + 1 + overlap - lifted : l[2]};
    };
    p.contact[0].grip = grip;
    p.springs.clear();
    p.fixed = {{5 + lower, {true, true, true}, {}}};
    p.fixed_nodes = {{[](const Vec3 &) { return true; }, {false, true, true}, {}}};
    p.tractions = {{6, [=](const Vec3 &) { return Vec3{tau, 0, 0}; }}};
    Body body(p, 1);
    REQUIRE(body.solve(1.0, tau * 200, 1e-11).converged);
    for (const Vec3 &x : {Vec3{3, 2, 5}, Vec3{20, 10, 5}})
      CHECK(body.at(x).u[0] == Approx(tau * (h / g_upper + 1 / grip + h / g_lower)).epsilon(1e-8));
    double shear = 0, area = 0;
    visit_contact(body.op(), body.u, [&](const ContactPoint &point) {
      shear += point.shear * point.area;
      area += point.area;
    });
    CHECK(area == Approx(200).epsilon(1e-12));
    CHECK(shear / area == Approx(tau).epsilon(1e-8));
  }
}

TEST_CASE("D3: flat contact patch", "[contact]") {
  // Uniform pressure goes through unchanged: sigma_zz = -p, gap = -p/k, everywhere (statics, exact). Pressure
  // counts per unloaded plan area, so with nu = 0 it is also the nominal stress of each block at any strain.
  const double p = 0.5, k = 50;
  Body body(blocks(p, k, 0), 1);
  const NewtonReport report = body.solve(1.0, p * 200, 1e-11);
  INFO(report.reason << " " << report.residual);
  REQUIRE(report.converged);
  for (const Vec3 &x : {Vec3{0, 0, 0}, Vec3{7, 3, 0}, Vec3{20, 10, 0}, Vec3{12, 9, 0}}) {
    const Sample up = body.at(x), down = body.at({x[0], x[1], -1});
    // 1e-8: rounding of the residual, 1e-13 N, over a node's share; the catalogue asks 1e-8 of a mortar
    // method.
    CHECK(up.u[2] - down.u[2] == Approx(overlap - p / k).epsilon(1e-8));
    for (const Sample &s : {up, down}) {
      const Sym2 stress = body.cauchy_stress(s);
      CHECK(stress[2][2] == Approx(-p).epsilon(1e-8)); // nu = 0: areas stay
      CHECK(std::abs(stress[0][0]) + std::abs(stress[1][1]) + std::abs(stress[0][2]) +
                std::abs(stress[1][2]) <
            1e-8);
    }
  }
  // Blocks of different nu slide on each other: sigma_zz stays the nominal -p.
  Body sliding(blocks(p, k, 0.3), 1);
  REQUIRE(sliding.solve(1.0, p * 200, 1e-11).converged);
  const Sample up = sliding.at({7, 3, 0}), down = sliding.at({7, 3, -1});
  CHECK(up.u[2] - down.u[2] == Approx(overlap - p / k).epsilon(1e-8));
  for (const Sample &s : {up, down}) {
    Tensor2 f = s.gradient;
    for (unsigned i = 0; i < 3; ++i)
      f[i][i] += 1;
    CHECK(sliding.cauchy_stress(s)[2][2] * f[0][0] * f[1][1] == Approx(-p).epsilon(1e-7));
  }
  CHECK(std::abs(up.u[0] - down.u[0]) > 0.01); // they do slide
}

TEST_CASE("Paired points that slide apart tell by how much", "[contact]") {
  // The upper block moved by (0.3, 0.4) along the face: 0.5 mm. On one refinement cells are 20/6 by 10/4 mm, so that
  // 0.4 of 2.5 is the more of the two.
  Body body(blocks(0.5, 50, 0), 1);
  std::vector<dealii::types::global_dof_index> index(body.level().fe.n_dofs_per_cell());
  for (const auto &cell : body.level().dofs.active_cell_iterators())
    if (cell->center()[2] > 0) {
      cell->get_dof_indices(index);
      for (unsigned i = 0; i < index.size(); ++i) {
        const unsigned c = body.level().fe.system_to_component_index(i).first;
        body.u[index[i]] = c == 0 ? 0.3 : c == 1 ? 0.4 : -0.01;
      }
    }
  unsigned points = 0;
  visit_contact(body.op(), body.u, [&](const ContactPoint &p) {
    ++points;
    CHECK(p.slip == Approx(0.5));
    CHECK(p.slip_cells == Approx(0.4 / 2.5));
    CHECK(p.pressure == Approx(50 * (0.01 + overlap)));
  });
  CHECK(points == 6 * 4 * 9);
}

TEST_CASE("Contact lets go: a block pulled up feels no tension", "[contact]") {
  Problem p = blocks(-0.02, 50, 0.3);           // pulled with 4 N
  p.springs = {{2, {0, 0, 1}, 0.01, 0, false}}; // 0.01 x 10 x 5 = 0.5 N/mm
  Body body(p, 1);
  REQUIRE(body.solve(1.0, 4, 1e-9).converged);
  const Sample up = body.at({10, 5, 0}), down = body.at({10, 5, -1});
  CHECK(up.u[2] > 1);
  CHECK(std::abs(down.u[2]) < 1e-9); // the lower block rests, free of stress
  CHECK(body.cauchy_stress(down).norm() < 1e-9);
}

TEST_CASE("D4: an overhanging beam lifts off a support that cannot pull", "[contact]") {
  // Supports at 0 and L = 100, P = 10 at 144 (A12 with a = 44). Reactions that could pull: -4.4 and 14.4 N.
  // The support at 0 cannot pull, so a spring of 2 N/mm there takes it: it lifts by 2 mm (statics). The
  // supports are strips 4 mm long and the reaction can be anywhere from 100 to 104: P (144 - x) / x
  // between 3.85 and 4.4 N.
  const double h = 10, b = 10;
  Problem p = box_problem({0, 0, 0}, {144, b, h}, {36, 1, 1}, std::make_shared<NeoHooke>(10000.0, 0.3));
  for (auto &face : p.mesh.faces) {
    double x = 0;
    for (const unsigned v : face.vertices)
      x += p.mesh.vertices[v][0] / 4;
    if (face.id == 5 && std::abs(x - 2) < 1)
      face.id = 11;
    else if (face.id == 5 && std::abs(x - 102) < 1)
      face.id = 12;
  }
  p.springs = {{1, {0, 0, 1}, 2 / (b * h), 1e-4, false}, {4, {0, 1, 0}, 0.01, 0, false}};
  const auto gap = [](const Vec3 &) { return -overlap; };
  p.ground = {{11, 100, {0, 0, 1}, {0, 0, 1}, gap}, {12, 100, {0, 0, 1}, {0, 0, 1}, gap}};
  p.tractions = {{2, [=](const Vec3 &) { return Vec3{0, 0, -10 / (b * h)}; }}};
  {
    Body body(p, 0);
    REQUIRE(body.solve(1.0, 10, 1e-9).converged);
    const double lift = body.face_integral(1, [](const Vec3 &) { return Vec3{0, 0, 1}; }) / (b * h);
    INFO("lift " << lift << ", reaction " << body.op().faces().ground_force(body.u));
    CHECK(body.op().faces().ground_force(body.u) ==
          Approx(10 + 2 * lift).epsilon(1e-6));      // all of it at the right support
    CHECK(body.at({2, 5, 0}).u[2] > 1.8);            // off the left support
    CHECK(lift > 0.98 * 10 * (144 - 104) / 104 / 2); // 2 %: the beam turns by 0.02 rad and bends
    CHECK(lift < 1.02 * 10 * (144 - 100) / 100 / 2);
  }
  p.tractions.clear(); // loaded at mid-span it rests on both
  p.region_forces = {
      {[](const Vec3 &l, unsigned) { return std::abs(l[0] - 52) < 4 ? 1.0 : 0.0; }, {0, 0, -10}}};
  Body body(p, 0);
  REQUIRE(body.solve(1.0, 10, 1e-9).converged);
  CHECK(body.op().faces().ground_force(body.u) ==
        Approx(10).epsilon(0.01)); // the spring takes 2 N/mm of a few micrometres
  CHECK(body.at({4, 5, 0}).u[2] < 0);
  CHECK(body.at({100, 5, 0}).u[2] < 0);
}

TEST_CASE("D1: Hertz, a sphere and an elastic half-space", "[contact]") {
  // Rigid sphere on a half-space. a = 0.1: strain p0/E = 0.7 % keeps it in small strain. A quarter block 20 a
  // wide, its outer faces moved by the approach less Boussinesq's displacement under the exact force, so that
  // its size does not matter.
  const double e = 1000, nu = 0.3, a = 0.1;
  const Hertz hertz{10, a, e / (1 - nu * nu)};
  const Grading grade{20 * a}; // cells of 0.11 a under the centre, 0.4 a at the edge of contact
  Problem p =
      box_problem({0, 0, 0}, {1, 1, 1}, {3, 3, 3}, std::make_shared<NeoHooke>(e, nu), [=](const Vec3 &l) {
        return Vec3{grade(l[0]), grade(l[1]), grade(l[2])};
      });
  const auto far = [=](const Vec3 &x) {
    return boussinesq(hertz.force(), e, nu, x) - Vec3{0, 0, hertz.approach()};
  };
  p.fixed = {{2, {true, true, true}, far},
             {4, {true, true, true}, far},
             {6, {true, true, true}, far},
             {1, {true, false, false}, {}},
             {3, {false, true, false}, {}}};
  const double stiffness = 1e7; // MPa/mm: penetration p0/k is 0.07 % of the approach
  p.ground = {{5, stiffness, {0, 0, 1}, {0, 0, 1}, [hertz](const Vec3 &x) {
                 return (x[0] * x[0] + x[1] * x[1]) / (2 * hertz.radius);
               }}};
  Body body(p, 2);
  const NewtonReport report = body.solve(1.0, hertz.force() / 4, 1e-7, 100);
  INFO(report.reason << "; steps " << report.steps << ", CG " << report.cg_iterations);
  REQUIRE(report.converged);
  const double f = 4 * body.op().faces().ground_force(body.u),
               peak = -body.cauchy_stress(body.at({0.001, 0.001, 0}))[2][2],
               moment_radius = contact_radius(body, 5, a), penetration = -body.at({0, 0, 0}).u[2];
  INFO("F " << f << " (" << hertz.force() << "), p0 " << peak << " (" << hertz.p0() << "), a "
            << moment_radius << " (" << a << "), penetration over approach "
            << penetration / hertz.approach());
  CHECK(f == Approx(hertz.force()).epsilon(0.02));
  CHECK(peak == Approx(hertz.p0()).epsilon(0.05));
  // 3 %: stress jumps at the edge of contact, where cells are 0.2 a.
  CHECK(moment_radius == Approx(a).epsilon(0.03));
  for (const double times : {1.5, 2.0, 3.0}) {
    const Sample s = body.at({grade.inverse(times * a), 0, 0});
    const double r = s.x[0];
    INFO("r/a " << r / a);
    CHECK(s.u[2] + r * r / (2 * hertz.radius) == Approx(hertz.gap(r)).epsilon(0.005));
  }
  CHECK(penetration / hertz.approach() < 0.002);
}

TEST_CASE("D1: Hertz, two elastic bodies through the paired faces", "[contact]") {
  // As above between bodies of different E and nu, the upper one with the parabola x^2 + y^2 over 2 R, through
  // the method of foot and insole. 1/E* = (1 - nu1^2)/E1 + (1 - nu2^2)/E2 (Johnson 1985 ch. 4; calc).
  const double a = 0.1;
  const std::array<double, 2> e = {1000, 300}, nu = {0.3, 0.45}; // upper, lower
  const Hertz hertz{10, a, 1 / ((1 - nu[0] * nu[0]) / e[0] + (1 - nu[1] * nu[1]) / e[1])};
  const Grading grade{20 * a}; // cells of 0.08 a under the centre, 0.3 a at the edge of contact
  Problem p = box_problem({0, 0, 0}, {1, 1, 1}, {4, 4, 4}, std::make_shared<NeoHooke>(e[0], nu[0]));
  append(p.mesh, box_mesh({0, 0, -2}, {1, 1, -1}, {4, 4, 4}, 2), lower);
  p.materials.push_back(std::make_shared<NeoHooke>(e[1], nu[1]));
  p.material_at = [](const Vec3 &, unsigned tag) { return tag - 1; };
  p.position = [=](const Vec3 &l) {
    const double x = grade(l[0]), y = grade(l[1]);
    if (l[2] < -0.5)
      return Vec3{x, y, -grade(-1 - l[2])};
    const double z = grade(l[2]);
    return Vec3{x, y, z + (1 - z / grade.size) * (x * x + y * y) / (2 * hertz.radius)};
  };
  const auto above = [=](const Vec3 &x) {
    return boussinesq(hertz.force(), e[0], nu[0], x) - Vec3{0, 0, hertz.approach()};
  };
  const auto below = [=](const Vec3 &x) {
    const Vec3 u = boussinesq(hertz.force(), e[1], nu[1], {x[0], x[1], -x[2]});
    return Vec3{u[0], u[1], -u[2]};
  };
  for (const unsigned id : {2, 4, 6})
    p.fixed.push_back({id, {true, true, true}, above});
  for (const unsigned id : {2, 4, 5})
    p.fixed.push_back({id + lower, {true, true, true}, below});
  for (const unsigned shift : {0u, lower}) {
    p.fixed.push_back({1 + shift, {true, false, false}, {}});
    p.fixed.push_back({3 + shift, {false, true, false}, {}});
  }
  const double stiffness = 2.5e6; // MPa/mm: penetration p0/k is 0.07 % of the approach
  p.contact = {{5, 6 + lower, 2, stiffness, {0, 0, 1}, {0, 0, 1}}};
  Body body(p, 2);
  const NewtonReport report = body.solve(1.0, hertz.force() / 4, 1e-7, 100);
  INFO(report.reason << "; steps " << report.steps << ", CG " << report.cg_iterations);
  REQUIRE(report.converged);

  const auto gap = [&](double x) {
    const Sample up = body.at({grade.inverse(x), 0, 0}), down = body.at({grade.inverse(x), 0, -1});
    return up.x[2] + up.u[2] - down.x[2] - down.u[2];
  };
  const double f = -4 * body.sum_on_faces(body.unbalanced(1, false), {2, 4, 6})[2]; // supports of the upper
  const double penetration = -gap(0), up = -body.cauchy_stress(body.at({0.001, 0.001, 0}))[2][2],
               down = -body.cauchy_stress(body.at({0.001, 0.001, -1}))[2][2],
               up_radius = contact_radius(body, 5, a), down_radius = contact_radius(body, 6 + lower, a);
  INFO("F " << f << " (" << hertz.force() << "), p0 " << up << " above, " << down << " below, "
            << stiffness * penetration << " in the contact (" << hertz.p0() << "), a " << up_radius << ", "
            << down_radius << " (" << a << "), penetration over approach " << penetration / hertz.approach());
  CHECK(f == Approx(hertz.force()).epsilon(0.02));
  CHECK(up == Approx(hertz.p0()).epsilon(0.05));
  CHECK(down == Approx(hertz.p0()).epsilon(0.05));
  CHECK(stiffness * penetration == Approx(hertz.p0()).epsilon(0.05));
  CHECK(up_radius == Approx(a).epsilon(0.03));
  CHECK(down_radius == Approx(a).epsilon(0.03));
  for (const double times : {1.5, 2.0, 3.0}) {
    INFO("r/a " << times);
    CHECK(gap(times * a) == Approx(hertz.gap(times * a)).epsilon(0.01)); // cells there are a third of a wide
  }
  CHECK(penetration / hertz.approach() < 0.002);
}

TEST_CASE("The same digits after loads came and went", "[contact]") {
  // Upper block with an arched underside on a soft lower one: the area in contact grows and shrinks with the
  // load.
  Problem p = blocks(1, 20, 0.3);
  p.position = [](const Vec3 &l) {
    if (l[2] < -0.5)
      return Vec3{l[0], l[1], l[2] + 1 + 10 * overlap};
    const double lift = 0.001 * l[0] * l[0] * (1 - l[2] / 10);
    return Vec3{l[0], l[1], l[2] + lift};
  };
  p.tractions[0].traction = [](const Vec3 &) { return Vec3{0, 0, -1.0 / 200}; }; // load factor = N
  p.materials[1] = std::make_shared<GasFoam>(3.0, 0.1, 0.1, 0.2);
  p.fixed[4].mask = {true, true, true}; // the foam's underside is glued, its sides are confined
  p.fixed.push_back({2 + lower, {true, false, false}, {}});
  p.fixed.push_back({4 + lower, {false, true, false}, {}});
  p.springs = {{2, {0, 0, 1}, 1e-3, 0, false}};
  Body body(p, 1);
  const auto reach = [&body](double newton) {
    const NewtonReport report = body.solve(newton, 120, 1e-10, 60);
    INFO("load " << newton << ": " << report.reason << ", residual " << report.residual);
    REQUIRE(report.converged);
  };
  for (const double load : {1.0, 5.0, 20.0, 60.0, 120.0})
    reach(load);
  const Vector first(body.u);
  for (const double load : {20.0, 200.0, 5.0})
    reach(load);
  Vector apart(body.u);
  apart.add(-1.0, first);
  CHECK(apart.linfty_norm() > 1e-2 * first.linfty_norm()); // it did move
  reach(120);
  apart = body.u;
  apart.add(-1.0, first);
  INFO("apart by " << apart.linfty_norm() << " of " << first.linfty_norm() << " mm");
  // Residual 1e-10 x 120 N over a stiffness of some N/mm (soft block 3 MPa x 200 mm2/5 mm = 120 N/mm): 1e-9
  // mm.
  CHECK(apart.linfty_norm() < 2e-9);
}
