// What a beam file can say besides sections, supports and simple loads: settlement, varying loads, couples inside the
// span, steps, temperature, load steps, references. Theory against closed forms, then messages and reports.
// Label fast: frame, beam-file.
#include "cases/catalogue/explain.hpp"
#include "cases/commands/beam_command.hpp"
#include "cases/lab/textbook_files.hpp"
#include "geometry/beam_section.hpp"
#include "tests/case_files.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <catch2/catch.hpp>

using namespace raybend;
using Catch::Matchers::Contains;

namespace {

// L = 100, b = h = 10, E = 10000: E I = 8.33333e6. Closed forms from memory: Timoshenko, Strength of Materials; Roark.
constexpr double ei = 1e4 * 1e4 / 12;

Beam square_beam() {
  Beam b;
  b.length = 100;
  b.section.start = b.section.end = {10, 10, 0, 0};
  b.material = {10000, 0.3};
  return b;
}

const std::string square = R"([beam]
length_mm = 100
[beam.section]
shape = "rectangle"
width_mm = 10
depth_mm = 10
[beam.material]
e_mpa = 10000
nu = 0.3
[[beam.support]]
kind = "soft_clamped"
at_mm = 0
)";
const std::string tip_force = "[[beam.load]]\nkind = \"force\"\nforce_n = 10\n";
const std::string tip_quantity = "[[quantity]]\nname = \"tip\"\nkind = \"deflection\"\nreference = 0.40306\n"
                                 "tolerance_percent = 0.3\n";

std::string with(const std::string &text, const std::string &from, const std::string &to) {
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return std::string(text).replace(at, from.size(), to);
}

std::string refusal(const std::string &text) {
  return refusal_of([&] { read_beam_from_text(text, "b.toml"); });
}

} // namespace

TEST_CASE("beam theory: varying loads, couples inside, settlement, temperature", "[frame]") {
  Beam b = square_beam();
  SECTION("triangle on a cantilever, largest at the clamp: w L^4/30EI, w L^2/6") {
    b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}};
    b.loads = {{LoadKindOfBeam::distributed, 0, 100, {0, 0, 1}, 1, 0}};
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(100).u[2] == Approx(1e8 / (30 * ei)).epsilon(1e-6));
    CHECK(std::abs(r.moment[0][1]) == Approx(1e4 / 6).epsilon(1e-7));
    CHECK(load_sum(b).force[2] == Approx(50).epsilon(1e-12));
  }
  SECTION("couple at a of a simple beam: R = M/L, deflection M a b (b - a)/(3 EI L)") {
    b.supports = {{HoldKind::pinned, 0, 2, 1, 0}, {HoldKind::roller, 100, 2, 1, 0}};
    b.loads = {{LoadKindOfBeam::moment, 30, 30, {0, 1000, 0}}};
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.force[1][2] == Approx(10).epsilon(1e-8));
    CHECK(r.at(30).u[2] == Approx(-1000 * 30 * 70 * 40 / (3 * ei * 100)).epsilon(1e-6));
  }
  SECTION("the middle of three supports sinks by d: R = 48 EI d/(2 l)^3") {
    b.supports = {{HoldKind::pinned, 0, 2, 1, 0},
                  {HoldKind::roller, 50, 2, 1, 0, -0.1},
                  {HoldKind::roller, 100, 2, 1, 0}};
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(50).u[2] == Approx(-0.1).epsilon(1e-12));
    CHECK(r.force[1][2] == Approx(-48 * ei * 0.1 / 1e6).epsilon(1e-6));
    CHECK(r.force[0][2] == Approx(24 * ei * 0.1 / 1e6).epsilon(1e-6));
  }
  SECTION("a spring's base moves: R = k (d - u), 3EI/L^3 beside k") {
    const double k = 3 * ei / 1e6;
    b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}, {HoldKind::spring, 100, 2, 1, k, 0.2}};
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.at(100).u[2] == Approx(0.1).epsilon(1e-8));
    CHECK(r.force[1][2] == Approx(k * 0.1).epsilon(1e-6));
  }
  SECTION("a support that only pushes, sunk by more than the beam comes down, is not touched") {
    b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}, {HoldKind::unilateral, 100, 2, 1, 0, -0.5}};
    b.loads = {{LoadKindOfBeam::force, 100, 100, {0, 0, -10}}}; // 0.4 mm
    CHECK_FALSE(solve_frame(b, BeamTheory::euler).touching[1]);
    b.supports[1].settlement = -0.3;
    const FrameResult r = solve_frame(b, BeamTheory::euler);
    CHECK(r.touching[1]);
    CHECK(r.force[1][2] == Approx(2.5).epsilon(1e-6)); // 3EI 0.1/L^3
  }
  SECTION("warmed: free, a T L and a dT L^2/2h; held, -E A a T and -E I a dT/h") {
    b.material.expansion = 1e-5;
    b.temperature = {30, 20};
    b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}};
    const FrameResult free = solve_frame(b, BeamTheory::timoshenko);
    CHECK(free.at(100).u[0] == Approx(0.03).epsilon(1e-9));
    CHECK(free.at(100).u[2] == Approx(-1e-5 * 20 / 10 * 1e4 / 2).epsilon(1e-9));
    CHECK(std::abs(free.at(50).moment[1]) < 1e-6);
    b.supports.push_back({HoldKind::soft_clamped, 100, 2, 1, 0});
    const FrameResult held = solve_frame(b, BeamTheory::timoshenko);
    CHECK(held.at(50).force[0] == Approx(-300).epsilon(1e-9));
    CHECK(held.at(50).moment[1] == Approx(-ei * 2e-5).epsilon(1e-8));
    CHECK(self_stress(b, 50, 4) == Approx(0).margin(1e-9));
  }
  SECTION(
      "two metals: Timoshenko 1925") { // 6 (a2 - a1) dT (1 + m)^2/(h (3 (1 + m)^2 + (1 + m n)(m^2 + 1/(m n))))
    b.section.shape = SectionShape::layered;
    b.section.start = b.section.end = {5, 3, 0, 0};
    b.section.bottom_depth = 2;
    b.material = {10000, 0.3, 1e-5};
    b.top_material = {20000, 0.3, 3e-5};
    b.temperature = {50, 0};
    const double m = 2, n = 0.5;
    const double curvature = 6 * 2e-5 * 50 * (1 + m) * (1 + m) /
                             (3 * (3 * (1 + m) * (1 + m) + (1 + m * n) * (m * m + 1 / (m * n))));
    CHECK(free_strain(b, 50).curvature == Approx(curvature).epsilon(1e-8));
    // Self stress carries no force and no moment: sums over both layers.
    double force = 0, moment = 0;
    const double centroid = section_stiffness(b, 0).centroid;
    for (int i = 0; i < 3000; ++i) {
      const double z = (i + 0.5) * 1e-3 - centroid, s = self_stress(b, 50, z);
      force += s * 1e-3;
      moment += s * z * 1e-3;
    }
    CHECK(std::abs(force) < 1e-5);
    CHECK(std::abs(moment) < 1e-5);
  }
  SECTION("a step: P (L^3 - a^3)/(3 E I1) + P a^3/(3 E I2)") {
    b.section.start = b.section.end = {10, 12, 0, 0};
    b.section.steps = {{50, {10, 8, 0, 0}}};
    b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}};
    b.loads = {{LoadKindOfBeam::force, 100, 100, {0, 0, 10}}};
    const double i1 = 1440, i2 = 10 * 512 / 12.0;
    // Over its cone of 1 mm the mean of 1/h^3 is (1/8^2 - 1/12^2)/8, not the mean of both ends (integrated by hand).
    const double cone = 10 * 2500 * 1.2 / 1e4 * ((1 / 1728.0 + 1 / 512.0) / 2 - (1 / 64.0 - 1 / 144.0) / 8);
    CHECK(solve_frame(b, BeamTheory::euler).at(100).u[2] ==
          Approx(10 * (1e6 - 125e3) / (3e4 * i1) + 10 * 125e3 / (3e4 * i2) - cone).epsilon(1e-4));
  }
}

TEST_CASE("a place of the arc has its arc length", "[frame]") {
  Beam b = square_beam();
  for (const double radius : {0.0, 30.0, -30.0, 200.0}) {
    b.radius = radius;
    for (const double s : {-1.0, 0.0, 20.0, 99.0, 101.0})
      CHECK(arc_length_of(b, axis_frame(b, s).place) == Approx(s).margin(1e-9));
  }
}

TEST_CASE("wrong uses of a beam file's further keys", "[beam-file]") {
  const std::string good = square + tip_force;
  REQUIRE(refusal(good).empty());
  struct Row {
    std::string text, holds;
  };
  const std::string step = "[[beam.section.step]]\nat_mm = 50\ndepth_mm = 8\n";
  for (const Row &row : {
           Row{with(good, "length_mm = 100", "length_mm = 100\nload_steps = 3"),
               "b.toml:3: beam.load_steps: only with strain = \"finite\""},
           Row{with(good, "[beam.material]", step + "[beam.material]"), ""},
           Row{with(good, "[beam.material]", "end_depth_mm = 8\n" + step + "[beam.material]"),
               "beam.section.end_depth_mm: a section tapers or steps, not both"},
           Row{with(good, "[beam.material]", step + step + "[beam.material]"),
               "beam.section.step[2].at_mm: steps stand in their order along the beam; found 50; allowed "
               "between 50 and "
               "100 mm"},
           Row{with(good, "[beam.material]", with(step, "depth_mm", "diameter_mm") + "[beam.material]"),
               "beam.section.step[1].diameter_mm: does not step in shape \"rectangle\"; allowed width_mm, "
               "depth_mm"},
           Row{with(with(good, "[beam.material]", step + "[beam.material]"), "force_n = 10",
                    "force_n = 10\nat_mm = 50"),
               "beam.section.step[1].at_mm: a load or a support stands where the section steps"},
           Row{good + "[beam.temperature]\nrise_k = 10\n",
               "beam.temperature: does nothing: no material has expansion_per_k"},
           Row{with(good, "nu = 0.3", "nu = 0.3\nexpansion_per_k = 1e-5") +
                   "[beam.temperature]\nrise_k = 0\n",
               "beam.temperature.rise_k: is zero: it warms nothing"},
           Row{with(with(good, "nu = 0.3", "nu = 0.3\nexpansion_per_k = 1e-5"), "length_mm = 100",
                    "length_mm = 100\nstrain = \"finite\"") +
                   "[beam.temperature]\nrise_k = 5\n",
               "beam.temperature: goes with strain = \"small\" only"},
           Row{with(good, "force_n = 10", "force_n = 10\nend_force_n_per_mm = 1"),
               "beam.load[1].end_force_n_per_mm: does not belong to kind \"force\""},
           Row{square +
                   "[[beam.load]]\nkind = \"distributed\"\nforce_n_per_mm = 1\nend_force_n_per_mm = -1\n",
               "beam.load[1].end_force_n_per_mm: the load changes its sign on the way; give two loads; found "
               "1 to -1"},
           Row{square, "beam.load: missing"},
           Row{with(square, "at_mm = 0", "at_mm = 0\nsettlement_mm = 0.1"), ""},
           Row{good + tip_quantity, ""},
           Row{good + tip_quantity + "load_step = 2\n",
               "quantity[1].load_step: no such step; allowed 1 to 1"},
           Row{good + tip_quantity + "y_part = 1\n",
               "quantity[1].y_part: does not belong to kind \"deflection\""},
           Row{good + tip_quantity + "support = 1\n",
               "quantity[1].support: does not belong to kind \"deflection\""},
           Row{good + "[quantities]\na = 1\n", "quantities: unknown key; did you mean \"quantity\"?"},
       }) {
    const std::string message = refusal(row.text);
    INFO(row.text << message);
    CHECK_THAT(message, Contains(row.holds));
    CHECK(message.empty() == row.holds.empty());
    CHECK(std::count(message.begin(), message.end(), '\n') == 0);
  }
  std::string nearest;
  CHECK_THAT(explain_one("quantity", nearest), Contains("load_step") && Contains("tolerance_percent"));
  CHECK_THAT(explain_one("quantity.kind", nearest), Contains("deflection_size"));
}

TEST_CASE("one file for both commands", "[beam-file]") {
  const std::string head = "title = \"Tip\"\nsource = \"Timoshenko\"\nknown = \"calc\"\n",
                    both = head + square + tip_force + tip_quantity;
  const Scratch scratch;
  const LoadedCase c = load_case(scratch.file("both.toml", both));
  REQUIRE(c.body->quantities().size() == 1);
  CHECK(c.body->quantities()[0].known == "calc");
  CHECK_THAT(refusal_of([&] { load_case(scratch.file("alone.toml", head + square + tip_force)); }),
             Contains("quantity: missing") && Contains("raybend beam"));
  const BeamCase given = read_beam_from_text(both, "both.toml");
  CHECK(given.beam.title == "Tip");
  BeamSolid solid(given.beam, stress_stations(given.beam));
  const BeamReport r = solve_beam(given, solid, 2, {});
  REQUIRE(r.compared.quantities.size() == 1);
  CHECK(r.compared.within(0));
  const std::string text = beam_summary(r, {});
  CHECK_THAT(text, Contains("## Beside the file's references") && Contains("| met "));
  // Agreement is said; a difference is not put down to theory where nothing is known that it leaves out.
  CHECK_THAT(text, Contains("agree within the band or 0.5 %"));
  BeamReport odd = r;
  for (FrameStation &s : odd.timoshenko.stations)
    s.u[2] *= 1.1;
  CHECK_THAT(beam_summary(odd, {}), Contains("do not take"));
  odd.beyond_theory = {"The beam is short."};
  CHECK_THAT(beam_summary(odd, {}), Contains("Likely reasons"));
}

TEST_CASE("the report of a beam that is only warmed", "[beam-file]") {
  const BeamCase given = read_beam(source_path("cases/textbook/A28-bimetal.toml"));
  CHECK(given.warnings.empty());
  BeamSolid solid(given.beam, stress_stations(given.beam));
  const std::string text = beam_summary(solve_beam(given, solid, 2, {}), {});
  CHECK_THAT(text, Contains("no section carries a force or a moment") && Contains("warmed by 50 K"));
  CHECK_THAT(text, Contains("| clamped, free to swell | 0  0  0 "));
}

TEST_CASE("load steps are results of their own", "[beam-file]") {
  // A strip of L/h = 50 whose end moves by 1/3 of its length; F1 in the textbook cases has the numbers.
  BeamCase given;
  Beam &b = given.beam = square_beam();
  b.section.start = b.section.end = {10, 2, 0, 0};
  b.material = {12000, 0};
  b.finite_strain = true;
  b.load_steps = 2;
  b.supports = {{HoldKind::soft_clamped, 0, 2, 1, 0}};
  b.loads = {{LoadKindOfBeam::force, 100, 100, {0, 0, 8}}}; // P L^2/EI = 1; half of it at the first step
  BeamSolid solid(b);
  const BeamReport r = solve_beam(given, solid, 1, {});
  REQUIRE(r.last().steps.size() == 1);
  CHECK(r.last().steps[0].load == 0.5);
  CHECK(r.last().steps[0].displacement(100)[2] ==
        Approx(16.214).epsilon(0.01)); // Mattiasson 1981, from memory
  CHECK(r.last().displacement(100)[2] == Approx(30.172).epsilon(0.01));
  CHECK(r.last().steps[0].force[0][2] == Approx(-4).epsilon(1e-6));
  CHECK_THAT(beam_summary(r, {}), Contains("## Load steps"));
}
