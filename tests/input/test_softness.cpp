// The estimate that warns of insoles pressed flat.
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/commands/check_report.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/forefoot/warnings/softness.hpp"
#include "cases/words/words.hpp"
#include <catch2/catch.hpp>
#include <cmath>

using namespace raybend;
using Catch::Matchers::Contains;

namespace {

/// One flat insole of so much foam under someone of so many kg; nobody real.
std::string flat_case(double mass_kg, const std::string &activity, const std::string &foam, double base_mm,
                      double cover_mm) {
  const auto design = [&](const std::string &name, const std::string &material) {
    return "[[designs]]\nname = \"" + name +
           "\"\nlayers = [{role = \"sole\", thickness_mm = 12, material = \"midsole-eva\"}, {role = "
           "\"base\", "
           "thickness_mm = " +
           number_text(base_mm) + ", material = \"" + material +
           "\"}, {role = \"cover\", thickness_mm = " + number_text(cover_mm) + ", material = \"" + material +
           "\"}]\n";
  };
  return "note = \"Invented patient.\"\n[patient]\nbody_mass_kg = " + number_text(mass_kg) +
         "\nfoot_length_mm = 265\nside = \"right\"\nsex = \"male\"\npainful_ray = 2\n[activity]\nkind = \"" +
         activity + (activity == "running" ? "\"\nforce_bw = 2.139\n" : "\"\n") + design("firm", "eva-35") +
         design("soft", foam);
}

std::vector<std::string> warnings(double mass_kg, const std::string &activity, const std::string &foam,
                                  double base_mm, double cover_mm) {
  return read_case_from_text(flat_case(mass_kg, activity, foam, base_mm, cover_mm), "soft.toml").warnings;
}

} // namespace

TEST_CASE("part of its thickness that a layer loses", "[cases][materials]") {
  // Neo-Hookean with nu = 0 held at its sides: P = mu (s - 1/s), mu = E/2, so s = (sqrt(q^2 + 4) - q) / 2
  // with q = p/mu (the root of s^2 + q s - 1).
  for (const double p : {0.01, 0.3, 2.0, 20.0}) {
    const double q = p / 1.0;
    CHECK(lost_part({"", MaterialLaw::solid, 2, 0, 1, 0}, p) ==
          Approx(1 - (std::sqrt(q * q + 4) - q) / 2).epsilon(1e-9)); // bisection to 2^-50
  }
  for (const NamedMaterial &n : named_materials()) {
    INFO(n.material.name);
    const InsoleMaterial &m = n.material;
    // Little pressure: p / M with the constrained modulus M = E (1 - nu) / ((1 + nu) (1 - 2 nu)) of Hooke's
    // law, and the gas's p0 / (1 - R) (Boyle).
    const bool foam = m.law == MaterialLaw::foam;
    const double modulus = m.e * (1 - m.nu) / ((1 + m.nu) * (1 - 2 * m.nu)) +
                           (foam ? m.gas_pressure / (1 - m.relative_density) : 0);
    CHECK(lost_part(m, 1e-5 * modulus) == Approx(1e-5).epsilon(1e-3)); // curvature of the law
    double before = 0;
    for (const double p : {0.1, 0.5, 2.0, 10.0}) {
      const double lost = lost_part(m, p);
      CHECK(lost > before);
      CHECK(lost < (foam ? 1 - m.relative_density : 1)); // no foam becomes smaller than its solid
      before = lost;
    }
  }
}

TEST_CASE("insoles that the solver does not follow are warned of before they are solved", "[cases]") {
  // Standard resolution, flat, EVA midsole of 12 mm, at 44 % of stance with the course's own 2.6 body weights: the first and
  // the last of these stopped at 58 and 92 % of the load ...
  for (const auto &w :
       {warnings(95, "running", "soft-pe-foam", 4, 3), warnings(70, "running", "open-cell-pu", 8, 6),
        warnings(95, "running", "open-cell-pu", 5, 3)}) {
    REQUIRE(w.size() == 1);
    CHECK_THAT(w[0], Contains("designs[2].name: soft: under ") && Contains("may stop before the full load"));
  }
  // ... and these were solved.
  CHECK(warnings(61, "walking-push-off", "soft-pe-foam", 4, 3).empty());
  CHECK(warnings(70, "walking-push-off", "soft-pe-foam", 4, 3).empty());
  CHECK(warnings(80, "walking-push-off", "soft-pe-foam", 4, 3).empty());
  CHECK(warnings(95, "walking-push-off", "medium-pe-foam", 4, 3).empty());
  CHECK(warnings(95, "walking-push-off", "open-cell-pu", 8, 6).empty());
  CHECK(warnings(95, "running", "medium-pe-foam", 4, 3).empty());

  const Case c = read_case_from_text(flat_case(95, "running", "soft-pe-foam", 4, 3), "soft.toml");
  CHECK(mean_pressure(c.foot, c.day[0].activity) ==
        Approx(2.139 * 95 * 9.80665 * 0.92 / (forefoot_width(c.foot) * 265 / 6)));
  CHECK_THAT(check_report(c), Contains("Warnings") && Contains("E 0.3 MPa"));
  Activity bare = c.day[0].activity;
  bare.barefoot = true; // a stiff board in the insole's place
  CHECK(softness_words(c.foot, bare, c.designs[1]).empty());
}
