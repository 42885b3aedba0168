// Beam theory against closed forms, the laboratory's beams in 3D against both, and the textbook cases of
// beams. Label fast, all of them: frame, beam-file, beam-cases (a few seconds each).
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/catalogue/explain.hpp"
#include "cases/commands/beam_command.hpp"
#include "cases/lab/beam/beam_body.hpp"
#include "cases/lab/beam/beam_limits.hpp"
#include "geometry/beam_section.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/lab/beam_report.hpp"
#include "tests/case_files.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>

namespace fs = std::filesystem;
using namespace raybend;
using Catch::Matchers::Contains;

namespace {

// L = 100, b = h = 10, E = 10000, nu = 0.3, P = 10: I = 833.333, kappa = 0.849673 (Cowper 1966, from memory).
Beam base_beam() {
  Beam b;
  b.length = 100;
  b.section.start = b.section.end = {10, 10, 0, 0};
  b.material = {10000, 0.3};
  b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}};
  b.loads = {{LoadKindOfBeam::force, 100, 100, {0, 0, 10}}};
  return b;
}

double tip(const Beam &b, const BeamTheory theory, const int axis = 2) {
  return solve_frame(b, theory).at(b.length).u[axis];
}

} // namespace

TEST_CASE("beam theory: cantilevers", "[frame]") {
  // 1e-6: closed forms to seven digits (calc; formulae from memory: Timoshenko, Strength of Materials).
  Beam b = base_beam();
  CHECK(tip(b, BeamTheory::euler) ==
        Approx(0.4).epsilon(1e-7)); // P L^3/3EI, exact but for rounding in 96 elements
  CHECK(tip(b, BeamTheory::timoshenko) == Approx(0.4030600).epsilon(1e-6));
  SECTION("A13: depth taper 10 to 5") {
    // 12P/(E b s^3)[ln(h1/h0) + 2h0/h1 - h0^2/2h1^2 - 3/2]
    b.section.end.depth = 5;
    CHECK(tip(b, BeamTheory::euler) == Approx(0.654213).epsilon(2e-6));
  }
  SECTION("A14: cone 12 to 8") { // 64 P L^3/(3 pi E d1^3 d0)
    b.section.shape = SectionShape::circle;
    b.section.start = {12, 12, 0, 0};
    b.section.end = {8, 8, 0, 0};
    CHECK(tip(b, BeamTheory::euler) == Approx(0.491219).epsilon(2e-6));
  }
  SECTION("A15: circular tube") { // 0.408090 + 0.007336
    b.section.shape = SectionShape::tube;
    b.section.start = b.section.end = {12, 12, 8, 8};
    CHECK(tip(b, BeamTheory::timoshenko) == Approx(0.408090 + 0.007336).epsilon(3e-6));
  }
  SECTION("A16: elliptic tube about both axes") { // without shear 0.315784, 0.192216
    b.section.shape = SectionShape::elliptic_tube;
    b.section.start = b.section.end = {16, 12, 12, 8};
    CHECK(tip(b, BeamTheory::euler) == Approx(0.315784).epsilon(3e-6));
    b.loads[0].vector = {0, 10, 0};
    CHECK(tip(b, BeamTheory::euler, 1) == Approx(0.192216).epsilon(3e-6));
  }
  SECTION("A17: two layers") { // EI = 5.50095e6, ybar = 3.71429, P L^3/3EI = 0.605956
    b.section.shape = SectionShape::layered;
    b.section.start = b.section.end = {10, 12, 0, 0};
    b.section.bottom_depth = 4;
    b.top_material = {2000, 0.3};
    const SectionStiffness k = section_stiffness(b, 0);
    CHECK(k.eiy == Approx(5.50095e6).epsilon(2e-6));
    CHECK(k.centroid == Approx(3.71429).epsilon(2e-6));
    CHECK(tip(b, BeamTheory::euler) == Approx(0.605956).epsilon(2e-6));
  }
  SECTION("A19: Z section") { // w = 0.729122, v = -1.06701, Iy = 62976, Iz = 15744, Iyz = 23040
    b.length = 400;
    b.section.shape = SectionShape::z_section;
    b.section.start = b.section.end = {20, 40, 0, 0};
    b.section.thickness = 4;
    b.loads[0].from = b.loads[0].to = 400;
    const SectionStiffness k = section_stiffness(b, 0);
    CHECK(k.eiy / 1e4 == Approx(62976).epsilon(1e-12));
    CHECK(k.eiz / 1e4 == Approx(15744).epsilon(1e-12));
    CHECK(std::abs(k.eiyz) / 1e4 == Approx(23040).epsilon(1e-12));
    CHECK(tip(b, BeamTheory::euler) == Approx(0.729122).epsilon(2e-6));
    CHECK(std::abs(tip(b, BeamTheory::euler, 1)) == Approx(1.06701).epsilon(5e-6));
  }
  SECTION("torque") { // T L/(G J), square: J = 0.140577 b^4 (Saint-Venant; Roark, from memory)
    b.loads = {{LoadKindOfBeam::moment, 100, 100, {1000, 0, 0}}};
    CHECK(solve_frame(b, BeamTheory::timoshenko).at(100).rotation[0] ==
          Approx(1000 * 100 / (3846.154 * 0.140577 * 1e4)).epsilon(1e-4));
  }
  SECTION("quarter ring, force at its end in its plane") {
    // Castigliano, bending alone, for a force along z at the end of an arc that leaves along x and ends along
    // z: M = P R (1 - sin t), u_z = P R^3/(E I) int_0^(pi/2) (1 - sin t)^2 dt = P R^3 (3 pi/4 - 2)/(E I), R = 100.
    b.length = 50 * 3.14159265358979;
    b.radius = 100;
    b.loads[0].from = b.loads[0].to = b.length;
    b.section.start = b.section.end = {2, 2, 0, 0}; // slender: axial and shear parts below 1e-3
    const double ei = 1e4 * 16.0 / 12;
    CHECK(tip(b, BeamTheory::euler) == Approx(10 * 1e6 * (3 * 3.14159265 / 4 - 2) / ei).epsilon(1e-3));
  }
}

TEST_CASE("beam theory: indeterminate beams, foundations, lifting off", "[frame]") {
  Beam b = base_beam();
  b.loads = {{LoadKindOfBeam::force, 50, 50, {0, 0, -10}}};
  SECTION("A8: clamped at both ends") { // P L^3/192EI = 0.006250, P L/8 = 125
    b.supports.push_back({HoldKind::soft_clamped, 100, 2, 1, 0});
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(50).u[2] == Approx(-0.006250).epsilon(1e-6));
    CHECK(std::abs(r.moment[0][1]) == Approx(125).epsilon(1e-6));
  }
  SECTION("A10: propped") { // 7PL^3/768EI = 0.0109375, R = 5P/16, M = 3PL/16
    b.supports.push_back({HoldKind::roller, 100, 2, 1, 0});
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(50).u[2] == Approx(-0.0109375).epsilon(1e-6));
    CHECK(r.force[1][2] == Approx(3.125).epsilon(1e-6));
    CHECK(std::abs(r.moment[0][1]) == Approx(187.5).epsilon(1e-6));
  }
  SECTION("a spring instead of the prop") { // R = k u; k = 3EI/L^3: half of the free deflection 5PL^3/48EI
    const double k = 3 * 1e4 * 833.3333333 / 1e6;
    b.supports.push_back({HoldKind::spring, 100, 2, 1, k});
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(100).u[2] == Approx(-0.5 * 5 * 10 * 1e6 / (48 * 1e4 * 833.3333333)).epsilon(1e-6));
    CHECK(r.force[1][2] == Approx(-k * r.at(100).u[2]).epsilon(1e-9));
  }
  SECTION("B1: long beam on a foundation") { // w0 = 0.0658037, M0 = 189.959 (Hetenyi, from memory)
    b.length = 1400;
    b.supports.clear();
    b.foundations = {{0, 1400, 1}};
    b.loads[0].from = b.loads[0].to = 700;
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(700).u[2] == Approx(-0.0658037).epsilon(1e-5));
    CHECK(std::abs(r.at(700).moment[1]) ==
          Approx(189.959).epsilon(1e-3)); // cubic elements: second order in the moment
  }
  SECTION("three supports that only push: the first lets go") {
    for (const double at : {0.0, 50.0, 100.0})
      b.supports.push_back({HoldKind::unilateral, at, 2, 1, 0});
    b.supports.erase(b.supports.begin());
    b.loads[0].from = b.loads[0].to = 75;
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK_FALSE(r.touching[0]);
    CHECK(r.touching[1]);
    CHECK(r.force[1][2] == Approx(5).epsilon(1e-7));
    CHECK(r.at(0).u[2] > 0);
  }
  SECTION("lifted off altogether") {
    b.supports = {{HoldKind::unilateral, 0, 2, 1, 0}, {HoldKind::unilateral, 100, 2, 1, 0}};
    b.loads[0].vector = {0, 0, 10};
    CHECK_THROWS_WITH(solve_frame(b, BeamTheory::euler), Contains("lifts off"));
  }
}

TEST_CASE("every wrong beam file is refused with file, line and key", "[beam-file]") {
  const std::vector<WrongFile> files = wrong_files("tests/lab/bad_beams");
  REQUIRE(files.size() >= 30);
  CHECK(refusal_of([] { read_beam(source_path("tests/lab/bad_beams/base.toml")); }) == "");
  for (const WrongFile &file : files) {
    INFO(file.name);
    CHECK(first_line(refusal_of([&] { read_beam_from_text(file.text, "wrong.toml"); }), file) ==
          "wrong.toml:" + file.line + ": " + file.message);
  }
}

TEST_CASE("keys of a beam file", "[beam-file]") {
  CHECK(find_catalogue_row("beam.section.depth_mm") != nullptr);
  std::string nearest;
  CHECK_THAT(explain_one("beam.support[2].at_mm", nearest), Contains("Place along the axis"));
  CHECK_THAT(explain_beam_keys(), Contains("[[beam.load]]"));
  // The two kinds of file share no key.
  for (const std::string &name : names_in(""))
    CHECK(name != "beam");
  CHECK_THAT(explain_all(), !Contains("[beam"));
}

TEST_CASE("where theory does not hold", "[beam-file]") {
  Beam b = base_beam();
  CHECK(theory_warnings(b, 0).empty());
  CHECK(theory_warnings(b, 6).size() == 1); // large rotation, small strain
  b.length = 50;
  REQUIRE(theory_warnings(b, 0).size() == 1);
  CHECK_THAT(theory_warnings(b, 0)[0], Contains("short"));
  b = base_beam();
  b.supports[0].kind = HoldKind::clamped;
  REQUIRE(theory_warnings(b, 0).size() == 1);
  CHECK_THAT(theory_warnings(b, 0)[0], Contains("swelling"));
  b.loads = {{LoadKindOfBeam::moment, 100, 100, {1000, 0, 0}}};
  CHECK_THAT(theory_warnings(b, 0).back(), Contains("warping"));
  b.section.shape = SectionShape::circle;
  CHECK(theory_warnings(b, 0).size() == 1);
  b = base_beam();
  b.section.start.depth = b.section.end.depth = 1.5;
  REQUIRE(theory_warnings(b, 0).size() == 1);
  CHECK_THAT(theory_warnings(b, 0)[0], Contains("plate"));
  b = base_beam();
  b.section.end.depth = 50; // half angle 11 deg
  b.section.end.width = 10;
  CHECK_THAT(theory_warnings(b, 0).back(), Contains("taper"));
  b = base_beam();
  b.material.nu = 0.48;
  CHECK(theory_warnings(b, 0).size() == 1);
  b = base_beam();
  b.radius = 40;
  CHECK(theory_warnings(b, 0).size() == 1);
}

TEST_CASE("a beam in 3D balances its loads at every section", "[beam-file]") {
  // G4: section forces from the cells against statics of loads and reactions, 1e-6 of the largest (solver:
  // 1e-9).
  Beam b = base_beam();
  b.section.shape = SectionShape::elliptic_tube;
  b.section.start = {16, 12, 12, 8};
  b.section.end = {12, 10, 8, 6};
  b.supports.push_back({HoldKind::roller, 60, 2, 1, 0});
  b.loads = {{LoadKindOfBeam::force, 100, 100, {3, 4, 10}},
             {LoadKindOfBeam::distributed, 20, 80, {0, 0.1, -0.2}}};
  BeamSolid solid(b);
  const SolidResult &r = solid.solve(0);
  double force = 0, moment = 0, most = 0;
  for (const SolidStation &s : r.stations) {
    force = std::max(force, norm(s.force - s.statics_force));
    moment = std::max(moment, norm(s.moment - s.statics_moment));
    most = std::max(most, norm(s.statics_moment));
  }
  CHECK(force < 1e-6 * norm(b.loads[0].vector));
  CHECK(moment < 1e-6 * most);
  // Reactions and loads balance: force 3, 4 + 60 * 0.1, 10 - 60 * 0.2.
  Vec3 sum = load_sum(b).force;
  for (const Vec3 &f : r.force)
    sum = sum + f;
  CHECK(norm(sum) < 1e-6 * norm(b.loads[0].vector));
}

TEST_CASE("section forces at a soft clamp are those of statics", "[beam-file]") {
  // By hand, to the solver's 1e-9: the force F at the tip makes V = F everywhere; at the clamp M = V L, pulling
  // the side that the force bends away from.
  Beam b = base_beam();
  const double length = b.length;
  const auto same = [](const Vec3 &a, const Vec3 &wanted, const double scale) {
    return norm(a - wanted) < 1e-6 * scale;
  };
  SECTION("at the start") {
    b.loads[0].vector = {3, 4, -10};
    b.loads.push_back({LoadKindOfBeam::moment, length, length, {500, 0, 0}});
    BeamSolid solid(b, {0.5 * slice_length(b)}); // a plane within what the clamp holds, too
    for (const SolidStation &s : solid.solve(0).stations) {
      INFO("x = " << s.s);
      if (s.s < 0) // body beyond the beam, which bears nothing
        continue;
      const Vec3 force = {3, 4, -10}, moment = {500, 10 * (length - s.s), 4 * (length - s.s)};
      CHECK(same(s.force, force, 10));
      CHECK(same(s.moment, moment, 1000));
      CHECK(same(s.statics_force, force, 10));
      CHECK(same(s.statics_moment, moment, 1000));
    }
  }
  SECTION("at the far end") {
    b.supports[0].at = length;
    b.loads = {{LoadKindOfBeam::force, 0, 0, {0, 0, -10}}};
    BeamSolid solid(b, {length - 0.5 * slice_length(b)});
    for (const SolidStation &s : solid.solve(0).stations) {
      INFO("x = " << s.s);
      if (s.s > length)
        continue;
      for (const Vec3 &force : {s.force, s.statics_force})
        CHECK(same(force, {0, 0, 10}, 10));
      for (const Vec3 &moment : {s.moment, s.statics_moment})
        CHECK(same(moment, {0, 10 * s.s, 0}, 1000));
    }
  }
  SECTION("a plane at a support inside") { // propped at 60, nothing beyond but the force: V = F there
    b.supports.push_back({HoldKind::roller, 60, 2, 1, 0});
    b.loads[0].vector = {0, 0, -10};
    BeamSolid solid(b, {60, 60 + 0.25 * slice_length(b)});
    const SolidResult &r = solid.solve(0);
    REQUIRE(r.at(60).s == Approx(60));
    CHECK(r.at(60).moment[1] == Approx(10 * 40).epsilon(1e-6));
    CHECK(r.at(60).force[2] == Approx(-10 + r.force[1][2]).epsilon(1e-6)); // just before it
    for (const SolidStation &s : r.stations)
      if (s.s > 60.001)
        CHECK(s.force[2] == Approx(-10).epsilon(1e-6));
  }
}

TEST_CASE("stress is read right where it is clear of clamp and loads", "[beam-file]") {
  const auto largest = [](const BeamReport &r) {
    const BeamStress *most = nullptr;
    for (const BeamStress &s : r.stresses)
      if (s.clear && (!most || std::abs(s.navier) > std::abs(most->navier)))
        most = &s;
    REQUIRE(most);
    return *most;
  };
  BeamCase given;
  given.beam = base_beam();
  Beam &b = given.beam;
  b.supports[0].kind = HoldKind::clamped;
  SECTION("short: 10 N on 30 mm, read 10 mm from the clamp") { // M y/I = 10 * 20 * 5/833.33 = 1.2 MPa
    b.length = 30;
    b.loads = {{LoadKindOfBeam::force, 30, 30, {0, 0, -10}}};
    BeamSolid solid(b, stress_stations(b));
    const BeamStress s = largest(solve_beam(given, solid, 2, {}));
    CHECK(s.s == Approx(10));
    CHECK(std::abs(s.navier) == Approx(1.2).epsilon(1e-6));
    CHECK(std::abs(s.solid) == Approx(1.2).epsilon(0.05)); // a clamp that holds the section from swelling
  }
  SECTION("slender: 20 N on 200 mm, 10 x 12") { // 20 * 188 * 6/1440 = 15.667 MPa
    b.length = 200;
    b.section.start.depth = b.section.end.depth = 12;
    b.loads = {{LoadKindOfBeam::force, 200, 200, {0, 0, -20}}};
    BeamSolid solid(b, stress_stations(b));
    const BeamStress s = largest(solve_beam(given, solid, 2, {}));
    CHECK(s.s == Approx(12));
    CHECK(std::abs(s.navier) == Approx(20 * 188 * 6 / 1440.0).epsilon(1e-6));
    CHECK(std::abs(s.solid) == Approx(s.navier > 0 ? s.navier : -s.navier).epsilon(0.03));
  }
  SECTION("tapered: the depth of the section that is read") { // 10 to 5 over 100 mm: s = 10 - 0.05 s
    b.section.end = {5, 5, 0, 0};
    const auto stations = stress_stations(b);
    const auto has = [&](const double s) {
      return std::any_of(stations.begin(), stations.end(),
                         [s](const double x) { return std::abs(x - s) < 1e-9; });
    };
    CHECK(has(10 / 1.05));
    CHECK(has(90 / 0.95)); // 100 - s = 10 - 0.05 s
  }
}

TEST_CASE("curved, twisted and sprung beams in 3D follow theory", "[beam-file]") {
  Beam b = base_beam();
  SECTION("quarter ring in its plane") {
    // Against the frame, itself checked against Castigliano above. r/h = 10: curvature's own effect on
    // stiffness is of the order (h/r)^2/12, 0.1 %.
    b.length = 30 * 3.14159265358979;
    b.radius = 60;
    b.section.start = b.section.end = {6, 6, 0, 0};
    b.loads[0].from = b.loads[0].to = b.length;
    BeamSolid solid(b);
    const Vec3 u = solid.solve(1).displacement(b.length),
               theory = solve_frame(b, BeamTheory::timoshenko).at(b.length).u;
    CHECK(u[2] == Approx(theory[2]).epsilon(0.003));
    CHECK(u[0] == Approx(theory[0]).epsilon(0.003));
  }
  SECTION("twist of an elliptic bar") {
    // C3: T L (a^2 + b^2)/(pi a^3 b^3 G), a = 10, b = 5: 0.00827606 rad per 1000 N mm and 100 mm (Timoshenko
    // & Goodier, from memory; calc). A soft clamp lets the section warp, and the torque comes in as
    // Saint-Venant's shear: the whole length follows theory. 0.1 %: one ring of cells.
    b.section.shape = SectionShape::ellipse;
    b.section.start = b.section.end = {20, 10, 0, 0};
    b.loads = {{LoadKindOfBeam::moment, 100, 100, {1000, 0, 0}}};
    BeamSolid solid(b, {30, 80});
    const SolidResult &r = solid.solve(1);
    CHECK(r.at(100).rotation[0] == Approx(0.00827606).epsilon(0.001));
    CHECK(r.at(80).rotation[0] - r.at(30).rotation[0] == Approx(0.5 * 0.00827606).epsilon(0.001));
    CHECK(r.at(50).moment[0] == Approx(1000).epsilon(1e-6));
  }
  SECTION("torque on thin and thick tubes, at either kind of clamp") {
    // T L/(G J), J = pi (D^4 - d^4)/32, exact where the ends are held by tractions as theory has them. 0.1 %.
    b.section.shape = SectionShape::tube;
    b.loads = {{LoadKindOfBeam::moment, 100, 100, {1000, 0, 0}}};
    for (const auto &[outer, inner] : {std::array<double, 2>{20, 17}, {10, 5.5}})
      for (const HoldKind kind : {HoldKind::soft_clamped, HoldKind::clamped}) {
        INFO(outer << " x " << inner << (kind == HoldKind::clamped ? ", clamped" : ", soft"));
        b.section.start = b.section.end = {outer, outer, inner, inner};
        b.supports[0].kind = kind;
        BeamSolid solid(b);
        const double j = 3.14159265358979 / 32 * (std::pow(outer, 4) - std::pow(inner, 4));
        CHECK(solid.solve(1).at(100).rotation[0] == Approx(1000 * 100 / (3846.1538 * j)).epsilon(0.001));
      }
  }
  SECTION("torque held inside the span, loads at both ends") {
    // 50 mm to either side of the clamp, both twisted alike about +x: T l/(G J) at each end, where the clamp's
    // slice of c = 1 mm, that takes either torque linearly, shortens each side by c/3 (integrated by hand). 0.1 %.
    b.section.shape = SectionShape::tube;
    b.section.start = b.section.end = {20, 20, 17, 17};
    b.supports[0].at = 50;
    b.loads = {{LoadKindOfBeam::moment, 0, 0, {1000, 0, 0}},
               {LoadKindOfBeam::moment, 100, 100, {1000, 0, 0}}};
    BeamSolid solid(b);
    const SolidResult &r = solid.solve(1);
    const double j = 3.14159265358979 / 32 * (std::pow(20, 4) - std::pow(17, 4));
    for (const double end : {0.0, 100.0})
      CHECK(r.at(end).rotation[0] == Approx(1000 * (50 - 1.0 / 3) / (3846.1538 * j)).epsilon(0.001));
    CHECK(r.moment[0][0] == Approx(-2000).epsilon(1e-6));
  }
  SECTION("large twist") {
    // T l/(G J) with the torque that the section carries (the load keeps its direction, so that its arm
    // shrinks); the law's own nonlinearity is of the order of the strain squared, 0.2 %. The sine of the end's
    // angle would be 7 % too small.
    b.section.shape = SectionShape::circle;
    b.finite_strain = true;
    b.loads = {{LoadKindOfBeam::moment, 100, 100, {32000, 0, 0}}};
    BeamSolid solid(b, {20, 80});
    const SolidResult &r = solid.solve(0);
    CHECK(r.at(80).rotation[0] > 0.45);
    CHECK(r.at(80).rotation[0] - r.at(20).rotation[0] ==
          Approx(r.at(50).moment[0] * 60 / (3846.1538 * 981.7477)).epsilon(0.015));
  }
  SECTION("a spring as a prop") { // R = k u at the support, to the solver's tolerance; theory within 0.5 %
    b.loads[0] = {LoadKindOfBeam::force, 50, 50, {0, 0, -10}};
    b.supports.push_back({HoldKind::spring, 100, 2, 1, 25});
    BeamSolid solid(b);
    const SolidResult &r = solid.solve(1);
    CHECK(r.force[1][2] ==
          Approx(-25 * r.displacement(100)[2]).epsilon(1e-4)); // mean of a slice against its middle
    CHECK(r.force[1][2] == Approx(solve_frame(b, BeamTheory::timoshenko).force[1][2]).epsilon(0.005));
  }
  SECTION("nearly incompressible") { // nu = 0.49: Timoshenko within 1 %
    b.material.nu = 0.49;
    BeamSolid solid(b);
    CHECK(solid.solve(1).displacement(100)[2] == Approx(tip(b, BeamTheory::timoshenko)).epsilon(0.01));
  }
}

TEST_CASE("a strip under a large tip load follows the elastica", "[beam-file]") {
  // F1, parameter 2: w/L = 0.49346, u/L = 0.16064 (Mattiasson 1981; calc by quadrature). L = 100, b = 10, h =
  // 2, E = 12000, nu = 0. 1 %: the theory neither stretches nor shears, and one cell over the depth is used.
  Beam b = base_beam();
  b.section.start = b.section.end = {10, 2, 0, 0};
  b.material = {12000, 0};
  b.finite_strain = true;
  b.loads[0].vector = {0, 0, 16};
  BeamSolid solid(b);
  const SolidResult &r = solid.solve(1);
  CHECK(r.displacement(100)[2] / 100 == Approx(0.49346).epsilon(0.01));
  CHECK(-r.displacement(100)[0] / 100 == Approx(0.16064).epsilon(0.01));
  CHECK(std::abs(r.moment[0][1]) ==
        Approx(16 * 100 * (1 - 0.16064)).epsilon(0.01));          // arm of the displaced tip
  CHECK(-r.at(100).rotation[1] == Approx(0.78175).epsilon(0.01)); // the angle, not its sine (0.7045)
}

TEST_CASE("very slender strips at finite strain", "[beam-file]") {
  // L/h = 100 and 400, loads that bend them far: a force at the tip and the same spread along the length find their
  // balance. That the moment at the clamp is the load's on the shape found is statics (1e-4: means of planes).
  for (const auto &[depth, spread] : {std::pair<double, bool>{1.0, true}, {0.25, false}}) {
    INFO("depth " << depth << (spread ? ", spread" : ", at the tip"));
    Beam b = base_beam();
    b.section.start = b.section.end = {2, depth, 0, 0};
    b.material = {12000, 0};
    b.finite_strain = true;
    const double ei = 12000 * 2 * std::pow(depth, 3) / 12, force = 2 * ei / 1e4;
    b.loads[0].vector = {0, 0, force};
    if (spread)
      b.loads = {{LoadKindOfBeam::distributed, 0, 100, {0, 0, force / 100}}};
    BeamSolid solid(b);
    const SolidResult &r = solid.solve(0);
    CHECK(r.force[0][2] == Approx(-force).epsilon(1e-6));
    CHECK(r.displacement(100)[2] > (spread ? 15 : 45)); // small strain: 25 and 66.7
  }
}

TEST_CASE("textbook beams agree within their tolerances", "[beam-cases]") {
  // Level 1; every case file carries its references, their formulae and tolerances. A case that says why it
  // misses would be listed here: none does.
  unsigned cases = 0;
  for (const fs::path &file : toml_files_in("cases/textbook")) {
    const toml::table root = parse_toml(read_case_text(file.string()), file.string());
    if (!root.contains("beam"))
      continue;
    ++cases;
    ReadingLog log;
    log.file = file.string();
    const auto body = make_beam_body(log, root, "calc", "");
    INFO(file.filename().string() << (log.faults.empty() ? "" : ": " + log.faults.front().message()));
    REQUIRE(body);
    const auto quantities = body->quantities();
    const TextbookLevel coarse = body->solve(0), level = body->solve(1);
    CHECK(level.unknowns > coarse.unknowns);
    REQUIRE(level.values.size() == quantities.size());
    for (std::size_t i = 0; i < quantities.size(); ++i) {
      const TextbookQuantity &q = quantities[i];
      INFO(q.name << ": " << level.values[i] << ", reference " << q.reference << " " << q.unit);
      if (q.decides)
        CHECK(std::abs(level.values[i] - q.reference) <=
              0.01 * q.tolerance_percent * std::abs(q.reference) + 1e-12);
      CHECK_FALSE(q.known.empty());
    }
    for (const TextbookCurve &curve : body->curves())
      CHECK(curve.x.size() == curve.computed.size());
  }
  CHECK(cases >= 25);
}

TEST_CASE("the report shows what counts", "[beam-file]") {
  BeamCase given;
  given.beam = base_beam();
  Beam &b = given.beam;
  const auto report = [&](const int levels) {
    BeamSolid solid(b, stress_stations(b));
    return solve_beam(given, solid, levels, {});
  };
  SECTION("torque alone: twist, no deflection") {
    b.section.shape = SectionShape::circle;
    b.loads = {{LoadKindOfBeam::moment, 100, 100, {1000, 0, 0}}};
    const BeamReport r = report(2);
    const BeamCounts counts = what_counts(r);
    CHECK(counts.twist);
    CHECK_FALSE(counts.any_displacement());
    CHECK(counts.force == std::array<bool, 3>{false, false, false});
    CHECK(counts.moment == std::array<bool, 3>{true, false, false});
    const std::string text = beam_summary(r, {});
    CHECK_THAT(text, Contains("## Twist\n") && !Contains("3D u_") && Contains("torsion theory"));
    CHECK_THAT(text,
               Contains("Negligible, so without table and chart (beam.csv has them): u_x, u_y, u_z, N,"));
    // T L/(G J) = 0.026484 rad at the end (J = pi d^4/32, exact for a circle); half of it at the middle.
    CHECK(r.theory_twist(100) == Approx(1000 * 100 / (3846.1538 * 981.7477)).epsilon(1e-6));
    const std::string csv = beam_csv(r);
    CHECK_THAT(csv, Contains(",twist_rad,twist_band_rad,twist_theory_rad,"));
    CHECK_THAT(beam_json(r), Contains("\"twist_rad\"") && Contains("\"twist_theory_rad\""));
    // The last line of the table, fields counted from the head's.
    const auto field = [&](const std::string &line, const std::string &name) {
      const std::string head = csv.substr(0, csv.find(name));
      std::size_t from = 0;
      for (auto n = std::count(head.begin(), head.end(), ','); n > 0; --n)
        from = line.find(',', from) + 1;
      return std::stod(line.substr(from));
    };
    const std::string last = csv.substr(csv.rfind('\n', csv.size() - 2) + 1);
    CHECK(field(last, "twist_theory_rad") == Approx(r.theory_twist(100)).epsilon(1e-6));
    CHECK(field(last, "twist_rad") == Approx(r.theory_twist(100)).epsilon(0.03)); // the clamp's slice yields
  }
  SECTION("bending alone: no twist") {
    const BeamCounts counts = what_counts(report(1));
    CHECK(counts.u == std::array<bool, 3>{false, false, true});
    CHECK_FALSE(counts.twist);
    CHECK(counts.force == std::array<bool, 3>{false, false, true});
    CHECK(counts.moment == std::array<bool, 3>{false, true, false});
  }
  SECTION("what is small but theory has it") { // 100 N along x: 0.01 mm; 1000 N along z: 40 mm
    b.loads[0].vector = {100, 0, 1000};
    CHECK(what_counts(report(1)).u == std::array<bool, 3>{true, false, true});
  }
  SECTION("elastic foundation: no u_x, digits of the band") {
    b.length = 400;
    b.supports.clear();
    b.foundations = {{0, 400, 0.2}};
    b.loads = {{LoadKindOfBeam::force, 180, 180, {0, 0, -10}}};
    const std::string text = beam_summary(report(2), {});
    CHECK_THAT(text, Contains("3D u_z") && !Contains("3D u_x"));
    CHECK_THAT(text, !Catch::Matchers::Matches("[^]*\\| +[-0-9.]*e-[0-9]+ \\|[^]*"));
  }
  SECTION("couples that balance: no reactions") {
    b.supports = {{HoldKind::pinned, 20, 2, 1, 0}, {HoldKind::roller, 80, 2, 1, 0}};
    b.loads = {{LoadKindOfBeam::moment, 0, 0, {0, -500, 0}}, {LoadKindOfBeam::moment, 100, 100, {0, 500, 0}}};
    const std::string text = beam_summary(report(1), {});
    for (const char *support : {"| pinned                | 0  0  0 ", "| roller, holds along z | 0  0  0 "})
      CHECK_THAT(text, Contains(support));
  }
  SECTION("fixed at both ends: no reaction along x") {
    b.supports.push_back({HoldKind::soft_clamped, 100, 2, 1, 0});
    b.loads = {{LoadKindOfBeam::force, 50, 50, {0, 0, -10}}};
    BeamReport r = report(2);
    r.levels.back().force[0][0] = -0.000061304; // what a solver may leave
    CHECK_THAT(beam_summary(r, {}), Contains("| 0  0  5.0000 "));
  }
}

TEST_CASE("small numbers at an axis", "[beam-file]") {
  CHECK(tick_text(2e-7, 2e-7) == "0.0000002");
  CHECK(tick_text(7.5e-8, 2.5e-8) == "0.000000075");
  CHECK(tick_text(0, 2e-7) == "0.0000000");
  CHECK(tick_text(0.5, 0.25) == "0.50");
  CHECK(tick_text(-3000, 1000) == "-3000");
}

TEST_CASE("a concentrated force is a step in theory's line", "[beam-file]") {
  // Values just before x = 2: slope 1 up to 2, a jump down by 10, slope 1 on.
  const std::vector<std::array<double, 2>> line = {{0, 0}, {1, 1}, {2, 2}, {3, -7}, {4, -6}};
  const auto stepped = with_steps(line, {2}, 1e-9);
  REQUIRE(stepped.size() == 6);
  CHECK(stepped[2] == std::array<double, 2>{2, 2});
  CHECK(stepped[3][0] == 2);
  CHECK(stepped[3][1] == Approx(-8));
  CHECK(with_steps(line, {4}, 1e-9).size() == line.size()); // nothing beyond the end
  // The frame's own shear: a force of 10 N at 60 of 100 mm on a cantilever ends there.
  Beam b = base_beam();
  b.loads[0].from = b.loads[0].to = 60;
  std::vector<std::array<double, 2>> shear;
  for (const FrameStation &s : solve_frame(b, BeamTheory::timoshenko, {60}).stations)
    shear.push_back({s.s, s.force[2]});
  for (const auto &p : with_steps(shear, {60}, 1e-7))
    CHECK(p[1] == Approx(p[0] < 60 ? 10 : p[0] > 60 ? 0 : p[1]).margin(1e-6));
  const auto at = [&](const auto &p) { return std::abs(p[0] - 60) < 1e-7; };
  const auto steps = with_steps(shear, {60}, 1e-7);
  CHECK(std::count_if(steps.begin(), steps.end(), at) == 2);
}

TEST_CASE("the report of a beam", "[beam-file]") {
  BeamCase given = read_beam(source_path("cases/beam-example.toml"));
  BeamSolid solid(given.beam);
  const BeamReport report = solve_beam(given, solid, 2, {});
  const std::string text = beam_summary(report, {"summary.md"});
  CHECK_THAT(text, Contains("not a certified design"));
  CHECK_THAT(text, Contains("Timoshenko"));
  CHECK_THAT(text, !Contains("## Warnings"));
  BeamReport odd = report;
  odd.warnings = {"value outside its usual range"};
  odd.beyond_theory = {"The beam is short."};
  CHECK_THAT(
      beam_summary(odd, {}),
      Contains("## Warnings\n\n- value outside its usual range\n\n## Where theory does not hold\n\n- The "
               "beam is short.\n"));
  const std::string csv = beam_csv(report);
  const std::size_t lines = std::count(csv.begin(), csv.end(), '\n');
  CHECK(lines == report.last().stations.size() + 1);
  const std::string head = csv.substr(0, csv.find('\n'));
  for (const char *name : {"x_mm", "n_n", "vy_n", "vz_n", "t_n_mm", "my_n_mm", "mz_n_mm", "statics_my_n_mm"})
    CHECK_THAT(head, Contains(name));
  CHECK_THAT(beam_json(report), Contains("\"largest_rotation_deg\""));
  // Finer meshes move the deflection less than theory differs from it.
  CHECK(std::abs(report.band(given.beam.length / 2, 2)) < 2e-3 * std::abs(report.last().displacement(35)[2]));
}
