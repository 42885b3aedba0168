// A day of several activities: reading, the day-equivalent strain, who solves what. Words and tables:
// tests/report/test_day_words.cpp.
#include "cases/casefile/case_error.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/commands/check_report.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/forefoot/resolved.hpp"
#include "cases/run/forecast.hpp"
#include "cases/run/solve_plan.hpp"
#include "postprocess/compare/day.hpp"
#include "postprocess/compare/step.hpp"
#include "tests/case_files.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

using namespace raybend;
using Catch::Matchers::Contains;

namespace {

const std::string shift = source_path("cases/shift.toml");

std::string refusal(const std::vector<std::string> &sets) {
  return refusal_of([&] { read_case(shift, sets); });
}

// The laws of Pattin 1996 with their constants, cycles to failure at a peak strain in ue (Martin, Burr &
// Sharkey, Skeletal Tissue Mechanics; from memory).
double pattin_compression(double strain) {
  return 9.33e40 * std::pow(strain, -10.3);
}
double pattin_tension(double strain) {
  return 1.445e53 * std::pow(strain, -14.1);
}

} // namespace

TEST_CASE("a day of several activities is read", "[day][cases]") {
  const Case c = read_case(shift);
  REQUIRE(c.day.size() == 4);
  CHECK(c.day_is_list);
  CHECK(c.day[1].words() == "on-the-floor (walking)");
  CHECK(c.day[1].cycles() == Approx(1770 * 5 / 2.0)); // one foot makes half of the steps
  CHECK(c.day[0].cycles() == 0);
  CHECK(c.day[2].activity.carried_kg == 12);
  CHECK(c.day[3].activity.steps_per_hour == 1200); // the kind's own
  const std::string report = check_report(c);
  CHECK_THAT(report, Contains("no steps: adds no load cycles"));
  const std::string idle = check_report(read_case(shift, {"activity[3].hours_per_day=0"}));
  CHECK_THAT(idle, Contains("0 hours: adds no load cycles") && Contains("no steps: adds no load cycles"));
  CHECK_THAT(report, Contains("Load: with-crates (carrying)"));
  CHECK_THAT(mesh_forecast(c, 2),
             Contains("16 solves (4 insoles under 4 activities)")); // bar and pad share theirs without
}

TEST_CASE("one activity and a list of one are the same", "[day][cases]") {
  const Case c = read_case(shift);
  CHECK(general_key("activity[2].kind") == "activity.kind");
  const std::string text = "[[activity]]\nkind = \"carrying\"\ncarried_kg = 8\n";
  std::string rest = c.source_text;
  const auto from = rest.find("\n[[activity]]"), to = rest.find("\n[[designs]]");
  rest.erase(from, to - from);
  const Case list = read_case_from_text(rest + "\n" + text, "list.toml");
  const Case table = read_case_from_text(rest + "\n" + text.substr(1, 10) + text.substr(12), "table.toml");
  REQUIRE(list.day.size() == 1);
  REQUIRE(table.day.size() == 1);
  CHECK(list.day_is_list);
  CHECK_FALSE(table.day_is_list);
  for (const Case *one : {&list, &table}) {
    CHECK(one->day[0].name == "carrying");
    CHECK(one->day[0].hours_per_day == 8);
    CHECK(one->day[0].activity.carried_kg == 8);
    const Case again = read_case_from_text(resolved_toml(*one), "again.toml");
    CHECK(again.day_is_list == one->day_is_list);
    CHECK(again.resolved.size() == one->resolved.size());
  }
}

TEST_CASE("an activity of a list is changed by place, by name and by kind", "[day][cases][bad-input]") {
  const Case c = read_case(shift, {"activity[2].steps_per_hour=1000", "activity.with-crates.carried_kg=20",
                                   "activity[1].name=counter"});
  CHECK(c.day[1].activity.steps_per_hour == 1000);
  CHECK(c.day[2].activity.carried_kg == 20);
  CHECK(c.day[0].name == "counter");
  CHECK_THAT(
      refusal({"activity[5].carried_kg=1"}),
      Contains("no such place in activity; found \"5\"; allowed 1 to 4, or at-the-counter, on-the-floor"));
  CHECK_THAT(refusal({"activity.carried_kg=1"}), Contains("no such place in activity"));
  CHECK_THAT(refusal({"activity=1"}), Contains("names a whole table"));
  CHECK_THAT(refusal({"activity[2].name=with-crates"}),
             Contains("activity[3].name: activity[2] has the same name"));
  CHECK_THAT(refusal({"activity.stairs.carried_kg=1"}), Contains("no such place")); // it has another name
  CHECK_THAT(
      refusal({"activity[2].hours_per_day=22"}),
      Contains(
          "activity[3].hours_per_day: with this activity the day has too many hours; found 25 h in all"));
  CHECK_THAT(refusal({"activity[2].carried_kg=-1"}), Contains("--set: activity[2].carried_kg: out of range"));
}

TEST_CASE("more than sixteen hours of activity are a warning", "[day][cases]") {
  CHECK(read_case(shift).warnings.empty());
  const Case c = read_case(shift, {"activity[2].hours_per_day=14"});
  REQUIRE(c.warnings.size() == 1);
  CHECK_THAT(c.warnings[0], Contains("sum to 17.5 h"));
}

TEST_CASE("day-equivalent strain against Miner's sum with published laws", "[day]") {
  // 4000 steps at 2500 ue and 1000 at 3000 ue. Pattin, compression: N = 9.4e5 and 1.4e5 (table of the laws,
  // two digits): 4000 / 9.4e5 + 1000 / 1.4e5 = 0.0043 + 0.0071 = 0.0114; three fifths of it from the fewer
  // steps. By hand: (0.8 * 2500^10.3 + 0.2 * 3000^10.3)^(1 / 10.3) = 2500 (0.8 + 0.2 * 1.2^10.3)^(1 / 10.3) =
  // 2500 * 2.108^(0.0971) = 2688 ue.
  const std::vector<Banded> strains = {{2500, 0}, {3000, 0}};
  const std::vector<double> cycles = {4000, 1000};
  const double strain = equivalent_strain(strains, cycles, 10.3).value;
  CHECK(strain == Approx(2688).epsilon(2e-4)); // hand value to four digits
  const double sum = 4000 / pattin_compression(2500) + 1000 / pattin_compression(3000);
  CHECK(5000 / pattin_compression(strain) == Approx(sum).epsilon(1e-12));
  CHECK(sum == Approx(0.0114).epsilon(0.03)); // N of the table has two digits
  CHECK(pattin_compression(2500) == Approx(9.4e5).epsilon(0.02));
  CHECK(damage_shares({2500, 3000}, cycles, 10.3)[1] ==
        Approx(1000 / pattin_compression(3000) / sum).epsilon(1e-12));
  CHECK(damage_shares({2500, 3000}, cycles, 10.3)[1] == Approx(0.0071 / 0.0114).epsilon(0.02));

  // Tension, same source: N(2500 ue) = 1.8e5, N(3000 ue) = 1.4e4.
  CHECK(pattin_tension(2500) == Approx(1.8e5).epsilon(0.03));
  const double tension = equivalent_strain(strains, cycles, 14.1).value;
  CHECK(5000 / pattin_tension(tension) ==
        Approx(4000 / pattin_tension(2500) + 1000 / pattin_tension(3000)).epsilon(1e-12));

  // Carter 1981 by range, exponent 5.3: N(2500 ue) = 2.3e5, N(3000 ue) = 8.8e4 (two digits, from memory):
  // 2500 ue lasts 2.6 times as long.
  CHECK(life_ratio({3000, 0}, {2500, 0}, 5.3).value == Approx(2.3e5 / 8.8e4).epsilon(0.02));
  CHECK(life_ratio({3000, 0}, {2500, 0}, 10.3).value == Approx(9.4e5 / 1.4e5).epsilon(0.04));
}

TEST_CASE("a day adds up damage spot by spot", "[day]") {
  // Two stations of a bone bent in the sagittal plane. One activity presses the dorsal side at the first station to 3000 ue, the other
  // at the second one to 2000 ue; at the other's station each leaves half.
  const auto step = [](const std::vector<std::array<double, 2>> &bending_at_instants) {
    StepResult instants;
    for (const auto &bending : bending_at_instants) {
      DesignResult d;
      d.converged = true;
      for (RayResult &ray : d.ray) {
        ray.shaft.resize(2);
        for (int i = 0; i < 2; ++i) {
          ray.shaft[i].fraction = 0.3 + 0.4 * i;
          ray.shaft[i].strain_bending = bending[i];
        }
        ray.peak_strain.value = std::max(std::abs(bending[0]), std::abs(bending[1]));
      }
      instants.push_back(d);
    }
    return instants;
  };
  Forefoot foot;
  const DesignResult first = over_step(step({{3000, 1000}}), foot),
                     second = over_step(step({{1500, 2000}}), foot);
  const double m = 6;
  const WorstSpot spot = worst_spot({&first.ray[1], &second.ray[1]}, {1000, 3000}, m);
  // by hand: (1000 * 3000^6 + 3000 * 1500^6) = 7.632e23 at the first station, (1000 * 1000^6 + 3000 * 2000^6) = 1.93e23 at the
  // second; of the peaks (1000 * 3000^6 + 3000 * 2000^6) = 9.21e23; sixth root of 7.632 / 9.21
  CHECK(spot.fraction == Approx(0.3));
  CHECK(spot.ranges == std::vector<double>{3000, 1500});
  CHECK(spot.factor == Approx(std::pow(7.632 / 9.21, 1.0 / 6)).epsilon(1e-3));
  const std::vector<double> share = damage_shares(spot.ranges, {1000, 3000}, m);
  CHECK(share[0] == Approx(7.29 / 7.632).epsilon(1e-3));
  // an activity without steps does not move the spot
  CHECK(worst_spot({&first.ray[1], &second.ray[1]}, {0, 3000}, m).fraction == Approx(0.7));
  // pressed in one instant and stretched in another: the range is both together
  const DesignResult turned = over_step(step({{2000, 0}, {-1200, 0}}), foot);
  CHECK(turned.ray[1].strain_range == Approx(3200));
  CHECK(turned.ray[1].strain_range_at == Approx(0.3));
  CHECK(worst_spot({&turned.ray[1]}, {1}, m).factor == Approx(3200.0 / 2000));
  // where it hurts at the neck, the base does not count
  foot.painful_ray = 2;
  foot.painful_place = PainfulPlace::neck;
  const DesignResult neck = over_step(step({{3000, 1000}}), foot);
  CHECK(neck.ray[1].strain_range == Approx(1000));
  CHECK(neck.ray[2].strain_range == Approx(3000));
  // ranges that are not known: the peaks
  const RayResult bare = [] {
    RayResult r;
    r.peak_strain.value = 1500;
    return r;
  }();
  CHECK(worst_spot({&bare, &bare}, {1, 2}, m).factor == 1);
  CHECK(worst_spot({&bare}, {1}, m).ranges == std::vector<double>{1500});
}

TEST_CASE("activities without steps add nothing; equal strains stay what they are", "[day]") {
  CHECK(equivalent_strain({{5000, 0}, {1500, 0}}, {0, 3000}, 14.1).value == Approx(1500));
  CHECK(equivalent_strain({{std::nan(""), 0}, {1500, 0}}, {0, 3000}, 6.6).value == Approx(1500));
  CHECK(damage_shares({5000, 1500}, {0, 3000}, 14.1) == std::vector<double>{0, 1});
  for (const FatigueLaw &law : fatigue_laws)
    CHECK(equivalent_strain({{1500, 0}, {1500, 0}}, {100, 3000}, law.exponent).value == Approx(1500));
  // No power overflows or vanishes.
  CHECK(std::isfinite(equivalent_strain({{1e30, 0}, {1e-30, 0}}, {1, 1}, 14.1).value));
}

TEST_CASE("bands of a day are fully correlated, differences are paired", "[day]") {
  const std::vector<double> cycles = {4000, 1000};
  const Banded day = equivalent_strain({{2000, 100}, {3000, 300}}, cycles, 6.6);
  const double high = equivalent_strain({{2100, 0}, {3300, 0}}, cycles, 6.6).value;
  const double low = equivalent_strain({{1900, 0}, {2700, 0}}, cycles, 6.6).value;
  CHECK(day.band == Approx(std::max(high - day.value, day.value - low)));
  CHECK(std::isnan(day.coarser));
  // Every strain 10 % larger on the coarser mesh: so is the day's; two designs that moved alike are told
  // apart.
  const Banded a = equivalent_strain({{2000, 200, 2200}, {3000, 300, 3300}}, cycles, 6.6);
  CHECK(a.coarser == Approx(1.1 * a.value));
  const Banded b = equivalent_strain({{1900, 190, 2090}, {2850, 285, 3135}}, cycles, 6.6);
  CHECK(told_apart(a, b));
  const LifeRatio life = life_ratio(a, b, 6.6);
  CHECK(life.value == Approx(std::pow(1 / 0.95, 6.6)));
  CHECK(life.high == Approx(life.value * std::pow(1.005, 6.6))); // the floor: both meshes say the same ratio
  CHECK(life.low == Approx(life.value / std::pow(1.005, 6.6)));
  // From 2200 / 2000 on the coarser mesh to 2000 / 1900 on this one.
  const LifeRatio moved = life_ratio({2000, 200, 2200}, {1900, 100, 2000}, 5.3);
  CHECK(moved.high == Approx(std::pow(1.1, 5.3)));
  CHECK(moved.low == Approx(std::pow(2000.0 / 1900, 2 * 5.3) / std::pow(1.1, 5.3)));
  // of the coarse mesh: by what changes of a strain against another were seen to change
  Banded coarse_a{2000, 500}, coarse_b{1800, 450};
  coarse_a.pair_part = coarse_b.pair_part = 0.07;
  const LifeRatio paired = life_ratio(coarse_a, coarse_b, 5.3);
  CHECK(paired.high / paired.value == Approx(std::pow(1.07, 5.3)));
  CHECK(paired.value / paired.low == Approx(std::pow(1.07, 5.3)));
  CHECK(life_ratio(a, a, 14.1).value == 1);
  CHECK(life_ratio(a, a, 14.1).low == 1);
  // Without coarser values both bands count.
  const LifeRatio wide = life_ratio({1000, 50}, {900, 50}, 5.3);
  CHECK(wide.high == Approx(std::pow(1050.0 / 850, 5.3)));
  CHECK(wide.low == Approx(1)); // 950 / 950
  CHECK(std::isinf(life_ratio({1000, 50}, {40, 50}, 5.3).high));
}

TEST_CASE("ranks share the solves of a day evenly and change the activity seldom", "[day][cases]") {
  const Case c = read_case(shift);
  const std::vector<SolveTask> tasks = solve_tasks(c);
  CHECK(tasks.size() == 16);
  std::set<std::string> keys;
  for (const SolveTask &t : tasks)
    CHECK(keys.insert(t.key).second);
  for (std::size_t groups = 1; groups <= 6; ++groups) {
    std::vector<int> times(tasks.size(), 0);
    std::size_t models = 0;
    for (std::size_t g = 0; g < groups; ++g) {
      const auto share = solve_share(tasks, g, groups);
      CHECK(share.size() >= tasks.size() / groups);
      CHECK(share.size() <= (tasks.size() + groups - 1) / groups);
      for (std::size_t i = 0; i < share.size(); ++i) {
        ++times[share[i]];
        models += i == 0 || tasks[share[i]].activity != tasks[share[i - 1]].activity;
      }
    }
    CHECK(std::all_of(times.begin(), times.end(), [](int n) { return n == 1; }));
    CHECK(models <= c.day.size() + groups - 1); // each cut costs one model at most
  }
  Case two = c; // 2 activities on 2 ranks: one model each
  two.day.resize(2);
  const auto pair = solve_tasks(two);
  for (std::size_t g : {0, 1})
    for (std::size_t i : solve_share(pair, g, 2))
      CHECK(pair[i].activity == g);
}
