// The default foot against published values: rows 1-14 of the validation table in README.md.
// Label: physics (minutes). Coarse resolution; with RAYBEND_PHYSICS=standard in the environment the same rows
// at standard resolution (six minutes), which the README's table shows. Every row prints what it found.
// Where a row is missed the test is marked [!mayfail] and the README says why; nothing is widened.
#include "cases/activities.hpp"
#include "cases/reader.hpp"
#include "solver/forefoot/sensor_pressure.hpp"
#include "solver/forefoot_model.hpp"
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>

using namespace raybend;

namespace {

const Case &sample() { // 70 kg, 260 mm, everything else by default
  static const Case c = read_case(RAYBEND_SOURCE_DIR "/cases/standing.toml",
                                  {"patient.body_mass_kg=70", "patient.foot_length_mm=260"});
  return c;
}

Design layered(double fit, double base_e, double base_thickness = 5, double cover_e = 0.6) {
  Design d;
  d.name = "test";
  d.fit = fit;
  const auto foam = [](double e) {
    InsoleMaterial m;
    m.name = "foam";
    m.e = e;
    m.nu = 0.1;
    return m;
  };
  d.layers = {{LayerRole::sole, 8, foam(4), 1000, -1000},
              {LayerRole::base, base_thickness, foam(base_e), 1000, -1000},
              {LayerRole::cover, 3, foam(cover_e), 1000, -1000}};
  return d;
}

Design padded(double behind) {
  Design d = layered(1, 1.2);
  SupportElement pad;
  pad.kind = SupportKind::pad;
  pad.ray = 2;
  pad.shift_medial = -6;
  pad.length = 45;
  pad.width = 38;
  pad.height = 6;
  pad.behind_heads = behind;
  pad.material = d.layers[1].material;
  d.support = {pad};
  return d;
}

void tell(const char *row, const std::vector<double> &values) {
  std::printf("row %-4s", row);
  for (const double v : values)
    std::printf(" %10.4g", v);
  std::printf("\n");
  std::fflush(stdout);
}

Resolution asked_resolution() {
  const char *asked = std::getenv("RAYBEND_PHYSICS");
  return asked && std::string(asked) == "standard" ? Resolution::standard : Resolution::coarse;
}

DesignResult solve(const Activity &activity, const Design &design,
                   Resolution resolution = asked_resolution()) {
  Settings settings;
  settings.resolution = resolution;
  ForefootModel model(sample().foot, activity, settings, MPI_COMM_WORLD);
  DesignResult r = model.solve(design);
  INFO(r.message);
  REQUIRE(r.converged);
  // Ground force = applied force for every solve, 1e-6.
  CHECK(r.ground_force == Approx(r.applied_force).epsilon(1e-6));
  return r;
}

Activity push_off() {
  return named_activity("walking-push-off").activity;
}

const DesignResult &barefoot() {
  static const DesignResult r = [] {
    Activity a = push_off();
    a.barefoot = true;
    return solve(a, layered(0, 1));
  }();
  return r;
}

DesignResult barefoot_with(void (*change)(Activity &)) {
  Activity a = push_off();
  a.barefoot = true;
  change(a);
  return solve(a, layered(0, 1));
}

double dorsal(const DesignResult &r, int ray) {
  return r.ray[ray - 1].peak_dorsal.value;
}

} // namespace

TEST_CASE("row 1: MT2 dorsal strain in push-off", "[physics]") {
  // Arndt 2002: -1534 +- 636; Donahue & Sharkey 1999: -1897 (both read). Range taken: -900 to -2200.
  tell("1", {dorsal(barefoot(), 2), barefoot().ray[1].peak_dorsal.band});
  CHECK(dorsal(barefoot(), 2) < -900);
  CHECK(dorsal(barefoot(), 2) > -2200);
}

TEST_CASE("row 2: dorsal compression in all five rays, standing", "[physics]") {
  Activity a = named_activity("standing").activity;
  a.barefoot = true;
  const DesignResult r = solve(a, layered(0, 1)); // Niu 2015 (read)
  tell("2", {dorsal(r, 1), dorsal(r, 2), dorsal(r, 3), dorsal(r, 4), dorsal(r, 5)});
  for (int ray = 1; ray <= 5; ++ray)
    CHECK(dorsal(r, ray) < 0);
}

TEST_CASE("row 3: MT2 dorsal to MT5 medial strain", "[physics][!mayfail]") {
  // Donahue & Sharkey 1999 (read): 2.1; range 1.5 to 3.
  const double ratio = dorsal(barefoot(), 2) / barefoot().ray[4].medial_at_peak;
  tell("3", {ratio, barefoot().ray[4].medial_at_peak});
  CHECK(ratio > 1.5);
  CHECK(ratio < 3);
}

TEST_CASE("row 4: cutting the ties", "[physics]") {
  const double whole = dorsal(barefoot(), 2);
  const double no_fascia = dorsal(barefoot_with([](Activity &a) { a.fascia = false; }), 2);
  const double no_flexors = dorsal(barefoot_with([](Activity &a) { a.flexors = false; }), 2);
  // Donahue & Sharkey 1999 (read): both raise MT2's strain, the fascia more.
  tell("4", {no_fascia / whole, no_flexors / whole});
  CHECK(no_fascia < no_flexors);
  CHECK(no_flexors < whole);
}

TEST_CASE("row 5: a clamped cantilever without ties", "[physics][!mayfail]") {
  const double whole = dorsal(barefoot(), 2);
  // No ties and clamped bases: 2 to 4 times (derived; Gross & Bunch 1989 from memory).
  const double cantilever = dorsal(barefoot_with([](Activity &a) {
                                     a.fascia = a.flexors = false;
                                     a.clamped_bases = true;
                                   }),
                                   2);
  tell("5", {cantilever / whole});
  CHECK(cantilever / whole > 2);
  CHECK(cantilever / whole < 4);
}

TEST_CASE("row 6: MT1 mainly compressed, MT2 mainly bent", "[physics]") {
  // Jacob & Zollinger 1992 (read): bending over axial strain larger in MT2. Taken at mid-shaft.
  const auto ratio = [](const RayResult &r) {
    double bending = 0, axial = 0;
    for (const StationResult &s : r.shaft)
      if (s.fraction > 0.15 && s.fraction < 0.6) {
        bending = std::max(bending, std::abs(s.strain_bending));
        axial = std::max(axial, std::abs(s.strain_axial));
      }
    return bending / axial;
  };
  tell("6", {ratio(barefoot().ray[0]), ratio(barefoot().ray[1])});
  CHECK(ratio(barefoot().ray[1]) > ratio(barefoot().ray[0]));
}

TEST_CASE("row 7: a 20 kg pack", "[physics][!mayfail]") {
  // Arndt 2002 (direction read); up to about +30 % (taken as below 35).
  const double packed = dorsal(barefoot_with([](Activity &a) { a.carried_kg = 20; }), 2);
  tell("7", {packed / dorsal(barefoot(), 2)});
  CHECK(packed / dorsal(barefoot(), 2) > 1.0);
  CHECK(packed / dorsal(barefoot(), 2) < 1.35);
}

TEST_CASE("rows 8 and 9b: fascia, pad compression", "[physics]") {
  const DesignResult &r = barefoot();
  const double weight = 70 * 9.80665;
  tell("8,9b", {r.fascia_total / weight, r.ray[1].tissue_compression});
  CHECK(r.fascia_total / weight > 0.6); // Erdemir 2004, Caravaggi 2009 (read)
  CHECK(r.fascia_total / weight < 1.5);
  CHECK(r.ray[1].tissue_compression > 0.35); // Cavanagh 1999 (read): 45.7 %
  CHECK(r.ray[1].tissue_compression < 0.55);
}

TEST_CASE("row 9: head shares", "[physics][!mayfail]") {
  const DesignResult &r = barefoot();
  double total = 0;
  for (const RayResult &ray : r.ray)
    total += ray.head_force.value;
  std::vector<double> shares;
  for (const RayResult &ray : r.ray)
    shares.push_back(100 * ray.head_force.value / total);
  tell("9", shares);
  const double published[5] = {19, 23, 27, 22, 10}; // PMC8275713 (read; shares derived), +- 5
  for (int i = 0; i < 5; ++i) {
    INFO("ray " << i + 1);
    CHECK(100 * r.ray[i].head_force.value / total == Approx(published[i]).margin(5));
  }
}

TEST_CASE("the peak pressure under a head hangs little on the mesh", "[physics]") {
  // A value at a point did: under MT2 736, 424 and 424 kPa at coarse, standard and fine resolution.
  const DesignResult r = solve(push_off(), layered(1, 1.2), Resolution::standard);
  for (const int ray : {2, 4}) {
    const Banded &peak = r.ray[ray - 1].head_peak_pressure;
    INFO("ray " << ray);
    tell("peak", {double(ray), peak.coarser, peak.value, peak.band});
    CHECK(peak.coarser == Approx(peak.value).epsilon(0.10)); // coarse against standard
  }
}

TEST_CASE("the band of the peak pressure at coarse resolution holds the value at standard", "[physics]") {
  Activity bare = push_off(); // on rigid ground pressure is steepest
  bare.barefoot = true;
  const DesignResult coarse = solve(bare, layered(0, 1), Resolution::coarse),
                     standard = solve(bare, layered(0, 1), Resolution::standard);
  for (int ray = 1; ray <= 5; ++ray) {
    const Banded &first = coarse.ray[ray - 1].head_peak_pressure,
                 &better = standard.ray[ray - 1].head_peak_pressure;
    INFO("ray " << ray);
    tell("band", {double(ray), first.value, first.band, better.value, better.band});
    CHECK(std::abs(better.value - first.value) < first.band);
  }
}

TEST_CASE("the pictures' patches carry the contact's force", "[physics]") {
  // They are straight between points of the curved plan: together they have the contact points' force to half
  // a per cent at coarse resolution, better at a finer one.
  const DesignResult &r = barefoot();
  double force = 0;
  for (const RayResult &ray : r.ray)
    force += ray.head_force.value + ray.shaft_force;
  constexpr double side = 400; // covers everything
  const SensorReading all = sensor_readings(r.plantar, std::vector<int>(r.plantar.size(), 0), 1, side)[0];
  tell("force", {force, 1e-3 * all.pressure * side * side});
  CHECK(1e-3 * all.pressure * side * side == Approx(force).epsilon(0.005));
}

TEST_CASE("rows 10 and 11: a pad behind the heads", "[physics][!mayfail]") {
  const DesignResult none = solve(push_off(), layered(1, 1.2)), near = solve(push_off(), padded(8)),
                     far = solve(push_off(), padded(23));
  const auto change = [&](const DesignResult &r, int ray) {
    return r.ray[ray - 1].head_peak_pressure.value / none.ray[ray - 1].head_peak_pressure.value - 1;
  };
  INFO("near: " << change(near, 2) << ", " << change(near, 3) << "; far: " << change(far, 2) << ", "
                << change(far, 3));
  tell("10",
       {change(near, 2), change(near, 3), near.ray[1].shaft_peak_pressure.value, none.ray[1].shaft_peak_pressure.value});
  tell("11", {change(far, 2), change(far, 3)});
  // Shaft pressure rises (Chang 1994, read).
  CHECK(near.ray[1].shaft_peak_pressure.value > none.ray[1].shaft_peak_pressure.value);
  // Slid back, the relief falls (Holmes & Timmerman 1990, read).
  CHECK(change(far, 2) > change(near, 2));
  // Peak pressure of heads 2 and 3: -10 to -35 %. About -30 % with the edge 6-11 mm behind the heads:
  // Hastings 2007 (from memory); -17 % with a dome whose edge is 5 mm distal of the heads, less with one 10
  // mm behind them: JFAR 2014 (read). Chang 1994 (read): mild falls at heads 1 and 2, not significant.
  CHECK(std::min(change(near, 2), change(near, 3)) < -0.10);
  CHECK(std::min(change(near, 2), change(near, 3)) > -0.35);
}

TEST_CASE("rows 12 and 14: shape, stiffness, thickness", "[physics][!mayfail]") {
  Activity a = named_activity("standing").activity;
  const auto peak = [](const DesignResult &r) {
    double p = 0;
    for (const RayResult &ray : r.ray)
      p = std::max(p, ray.head_peak_pressure.value);
    return p;
  };
  const double moulded_soft = peak(solve(a, layered(1, 0.3, 5, 0.3))),
               flat_rigid = peak(solve(a, layered(0, 1000, 5, 1000)));
  INFO("moulded soft " << moulded_soft << " kPa, flat rigid " << flat_rigid << " kPa");
  tell("12", {moulded_soft / flat_rigid - 1, moulded_soft, flat_rigid});
  // Cheung & Zhang 2005 (read): -40.7 % in finite elements; -30 to -45 %.
  CHECK(moulded_soft / flat_rigid - 1 < -0.30);
  CHECK(moulded_soft / flat_rigid - 1 > -0.45);
  // Cheung & Zhang 2008 (read): shape, then stiffness, then thickness.
  const double middle = peak(solve(a, layered(0.5, 1.0, 6)));
  const double shape =
      std::abs(peak(solve(a, layered(1, 1.0, 6))) - peak(solve(a, layered(0, 1.0, 6)))) / middle;
  const double stiffness =
      std::abs(peak(solve(a, layered(0.5, 0.3, 6))) - peak(solve(a, layered(0.5, 3.0, 6)))) / middle;
  const double thickness =
      std::abs(peak(solve(a, layered(0.5, 1.0, 4.5))) - peak(solve(a, layered(0.5, 1.0, 9)))) / middle;
  INFO("shape " << shape << ", stiffness " << stiffness << ", thickness " << thickness);
  tell("14", {shape, stiffness, thickness});
  CHECK(shape > stiffness);
  CHECK(stiffness > thickness);
}

TEST_CASE("row 13: a stiff plate", "[physics][!mayfail]") {
  Design plain = layered(0, 1.2), plate = plain;
  InsoleMaterial carbon;
  carbon.name = "plate";
  carbon.law = MaterialLaw::solid;
  carbon.e = 50000;
  carbon.nu = 0.3;
  plate.layers.insert(plate.layers.begin() + 1, {LayerRole::plate, 1.2, carbon, 1000, -1000});
  const DesignResult a = solve(push_off(), plain), b = solve(push_off(), plate);
  const auto stress = [](const DesignResult &r, int ray) { return r.ray[ray - 1].peak_bending_stress.value; };
  tell("13", {stress(b, 2) / stress(a, 2) - 1, stress(b, 3) / stress(a, 3) - 1});
  for (const int ray : {2, 3}) { // Sci Rep 2024 (read): negligible change; +- 5 %
    INFO("ray " << ray);
    CHECK(b.ray[ray - 1].peak_bending_stress.value / a.ray[ray - 1].peak_bending_stress.value ==
          Approx(1).margin(0.05));
  }
}

TEST_CASE("Section resultants agree with statics cut by cut", "[equilibrium]") {
  for (const Design &design : {layered(1, 1.2), padded(8)}) {
    const DesignResult r = solve(push_off(), design);
    for (const RayResult &ray : r.ray) {
      double largest = 0;
      for (const StationResult &s : ray.shaft)
        largest = std::max(largest, std::abs(s.moment_sagittal));
      REQUIRE(ray.shaft.size() >= 6);
      for (const StationResult &s :
           ray.shaft) // 1 % of the ray's largest moment, as asked; solver tolerance is far below
        CHECK(s.moment_sagittal == Approx(s.statics_moment_sagittal).margin(0.01 * largest));
    }
  }
}
