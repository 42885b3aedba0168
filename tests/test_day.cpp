// A day of several activities: reading, the day-equivalent strain, ranking, words, tables, who solves what.
#include "cases/case_error.hpp"
#include "cases/catalogue.hpp"
#include "cases/check_report.hpp"
#include "cases/compare.hpp"
#include "cases/reader.hpp"
#include "cases/resolved.hpp"
#include "cases/solve_plan.hpp"
#include "postprocess/day.hpp"
#include "postprocess/day_answer.hpp"
#include "postprocess/day_summary.hpp"
#include "postprocess/day_tables.hpp"
#include "postprocess/text_table.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#ifndef RAYBEND_SOURCE_DIR
#define RAYBEND_SOURCE_DIR "."
#endif

using namespace raybend;
using Catch::Matchers::Contains;

namespace {

const std::string shift = std::string(RAYBEND_SOURCE_DIR) + "/cases/shift.toml";

std::string refusal(const std::vector<std::string> &sets) {
  try {
    read_case(shift, sets);
  } catch (const CaseError &error) {
    return error.what();
  }
  return "";
}

// The laws of Pattin 1996 with their constants, cycles to failure at a peak strain in ue (Martin, Burr &
// Sharkey, Skeletal Tissue Mechanics; from memory).
double pattin_compression(double strain) {
  return 9.33e40 * std::pow(strain, -10.3);
}
double pattin_tension(double strain) {
  return 1.445e53 * std::pow(strain, -14.1);
}

DesignResult result(double strain, double band, double coarser = std::nan("")) {
  DesignResult d;
  d.converged = true;
  d.applied_force = d.ground_force = 700;
  for (RayResult &ray : d.ray) {
    ray.peak_dorsal = {-strain, band, -coarser};
    ray.peak_plantar = {strain / 3, band, coarser / 3};
    ray.head_peak_pressure = {200, 5};
    ray.shaft.resize(2);
  }
  return d;
}

ReportInput part(const std::string &kind, double cycles, const std::vector<double> &strains,
                 double band = 10) {
  ReportInput in;
  in.title = "Shift";
  in.note = "Invented patient.";
  in.foot.body_mass_kg = 70;
  in.foot.painful_ray = 2;
  in.activity.name = in.activity.activity.name = kind;
  in.activity.activity.force_bw = 1;
  in.activity.activity.steps_per_hour = 2 * cycles;
  in.activity.hours_per_day = 1;
  for (std::size_t i = 0; i < strains.size(); ++i) {
    DesignOutcome o;
    o.design.name = std::string(1, char('a' + i));
    o.design.title = "Title " + o.design.name;
    o.with = o.without = result(strains[i], band);
    in.outcomes.push_back(o);
  }
  return in;
}

std::vector<std::string> lines_of(const std::string &text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);)
    lines.push_back(line);
  return lines;
}

} // namespace

TEST_CASE("a day of several activities is read", "[day][cases]") {
  const Case c = read_case(shift);
  REQUIRE(c.day.size() == 4);
  CHECK(c.day_is_list);
  CHECK(c.day[1].words() == "on-the-floor (walking-push-off)");
  CHECK(c.day[1].cycles() == Approx(1770 * 5 / 2.0)); // one foot makes half of the steps
  CHECK(c.day[0].cycles() == 0);
  CHECK(c.day[2].activity.carried_kg == 12);
  CHECK(c.day[3].activity.steps_per_hour == 1200); // the kind's own
  const std::string report = check_report(c);
  CHECK_THAT(report, Contains("no steps: adds no load cycles"));
  CHECK_THAT(report, Contains("Load: with-crates (carrying)"));
  CHECK_THAT(mesh_forecast(c),
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
  CHECK(damage_shares(strains, cycles, 10.3)[1] ==
        Approx(1000 / pattin_compression(3000) / sum).epsilon(1e-12));
  CHECK(damage_shares(strains, cycles, 10.3)[1] == Approx(0.0071 / 0.0114).epsilon(0.02));

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

TEST_CASE("activities without steps add nothing; equal strains stay what they are", "[day]") {
  CHECK(equivalent_strain({{5000, 0}, {1500, 0}}, {0, 3000}, 14.1).value == Approx(1500));
  CHECK(equivalent_strain({{std::nan(""), 0}, {1500, 0}}, {0, 3000}, 6.6).value == Approx(1500));
  CHECK(damage_shares({{5000, 0}, {1500, 0}}, {0, 3000}, 14.1) == std::vector<double>{0, 1});
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
  CHECK(life_ratio(a, a, 14.1).value == 1);
  CHECK(life_ratio(a, a, 14.1).low == 1);
  // Without coarser values both bands count.
  const LifeRatio wide = life_ratio({1000, 50}, {900, 50}, 5.3);
  CHECK(wide.high == Approx(std::pow(1050.0 / 850, 5.3)));
  CHECK(wide.low == Approx(1)); // 950 / 950
  CHECK(std::isinf(life_ratio({1000, 50}, {40, 50}, 5.3).high));
}

TEST_CASE("the order may depend on the exponent, and then it is said", "[day][ranking]") {
  // "a": many steps at 1500, few at 2000. "b": 1600 and 1600. At m = 5.3: a 1500 (0.95 + 0.05
  // (4/3)^5.3)^(1/5.3) = 1500 * 1.1797^(0.1887) = 1548 < 1600; at 14.1: 1500 (0.95 + 0.05 * 57.8)^(1/14.1) =
  // 1500 * 3.838^(0.0709) = 1650.
  DayInput in;
  in.activities = {part("walking-push-off", 9500, {1500, 1600}), part("carrying", 500, {2000, 1600})};
  const DayRanking day = rank_day(in);
  CHECK(day.of(0).with.strain[0].value == Approx(1548).epsilon(1e-3));
  CHECK(day.of(0).with.strain[3].value == Approx(1650).epsilon(1e-3));
  CHECK(day.of(1).with.strain[2].value == Approx(1600));
  REQUIRE(day.crossings.size() == 1);
  CHECK(day.crossings[0].first == 0);
  CHECK(day.crossings[0].told_apart);
  CHECK(day.of(0).best_rank == 1);
  CHECK(day.of(0).worst_rank == 2);
  CHECK_THAT(day_answer(in, day), Contains("depends on the exponent"));
  CHECK_THAT(order_words(in, day), Contains("\"Title a\" is better than \"Title b\" at m = 5.3"));

  in.activities = {part("walking-push-off", 9500, {1500, 1600}, 200),
                   part("carrying", 500, {2000, 1600}, 200)};
  CHECK_THAT(order_words(in, rank_day(in)), Contains("only among designs that this mesh cannot tell apart"));
  in.activities = {part("walking-push-off", 9500, {1500, 1700}), part("carrying", 500, {1800, 2000})};
  CHECK_THAT(order_words(in, rank_day(in)), Contains("the same at all four exponents"));
  CHECK_THAT(day_answer(in, rank_day(in)), Contains("at all four published exponents"));
}

TEST_CASE("a design that fails in one activity does not lose the others", "[day][ranking]") {
  DayInput in;
  in.activities = {part("standing", 0, {700, 600, 650}), part("walking-push-off", 4000, {1500, 1300, 1400}),
                   part("carrying", 500, {1800, 1500, 1700})};
  in.activities[2].outcomes[1].with.converged = in.activities[2].outcomes[1].without.converged = false;
  in.activities[2].outcomes[1].with.message = "stopped at 60 % of the load";
  in.activities[0].outcomes[0].with.converged = false; // no steps there: the day does not need it
  const DayRanking day = rank_day(in);
  CHECK(day.designs[0].place == 2);
  CHECK(day.designs[1].place == 0);
  CHECK(day.designs[1].with.known);
  CHECK(day.designs[2].place == 1);
  CHECK_FALSE(day.designs[2].with.known);
  const auto warnings = day_warnings(in, day);
  const auto has = [&](const std::string &words) {
    return std::any_of(warnings.begin(), warnings.end(),
                       [&](const std::string &w) { return w.find(words) != std::string::npos; });
  };
  CHECK(has("\"carrying\": \"Title b\" did not converge and is not ranked: stopped at 60 % of the load"));
  CHECK(has("\"Title b\" is not ranked over the day"));
  CHECK_FALSE(has("\"Title a\" is not ranked over the day"));
  in.activities[1].outcomes[0].with.converged = false;
  CHECK_THAT(day_answer(in, rank_day(in)), Contains("the only design that converged in every activity"));
  for (std::size_t i : {0, 1, 2})
    in.activities[1].outcomes[i].with.converged = false;
  CHECK_THAT(day_answer(in, rank_day(in)), Contains("No design converged in every activity"));
}

TEST_CASE("activities that do not belong together are refused", "[day]") {
  DayInput in;
  CHECK_THROWS_AS(rank_day(in), std::invalid_argument);
  in.activities = {part("standing", 0, {700, 600})};
  CHECK_THROWS_AS(rank_day(in), std::invalid_argument); // no cycles
  in.activities = {part("stairs", 10, {700, 600}), part("carrying", 10, {700})};
  CHECK_THROWS_AS(rank_day(in), std::invalid_argument);
}

TEST_CASE("the day's summary puts the whole day first and has straight tables", "[day][summary]") {
  DayInput in;
  in.activities = {part("standing", 0, {700, 600, 650}), part("walking-push-off", 4000, {1500, 1300, 1400})};
  in.activities[1].outcomes[1].design.support.emplace_back();
  in.activities[0].outcomes[1].design.support.emplace_back();
  in.activities[1].outcomes[1].without = result(1450, 10);
  const DayRanking day = rank_day(in);
  std::vector<std::vector<RankedDesign>> rankings;
  for (const ReportInput &a : in.activities)
    rankings.push_back(rank_designs(a));
  const std::string text = day_summary(in, day, rankings, {"day.csv"});
  CHECK(text.find("## Answer for the whole day") < text.find("## Activity: standing"));
  CHECK_THAT(one_line(text), Contains("not a prediction") && Contains("\"standing\" adds no load cycles") &&
                                 Contains("Pattin 1996, compression"));
  for (const char *exponent : {"m 5.3", "m 6.6", "m 10.3", "m 14.1"})
    CHECK_THAT(text, Contains(exponent));
  // 1500 against 1300 ue with the same steps: (1500 / 1300)^5.3 = 2.13; the pad's effect 1300 / 1450 - 1 =
  // -10.3 %
  CHECK_THAT(text, Contains("2.13 (") && Contains("-10.3"));
  std::size_t width = 0;
  for (const std::string &line : lines_of(text)) {
    if (line.empty() || line[0] != '|') {
      width = 0;
      continue;
    }
    if (width == 0)
      width = text_width(line);
    CHECK(text_width(line) == width);
  }
}

TEST_CASE("the day's tables have the activity in every line", "[day][tables]") {
  DayInput in;
  in.activities = {part("standing", 0, {700, 600}), part("walking-push-off", 4000, {1500, 1300}),
                   part("carrying", 1000, {1800, 1500})};
  for (ReportInput &a : in.activities)
    a.outcomes[1].design.support.emplace_back();
  const DayRanking day = rank_day(in);
  const auto rays = lines_of(day_rays_csv(in));
  REQUIRE(rays.size() == 1 + 3 * 5 * 3); // activities, rays, "none" + "with" + "without"
  CHECK(rays[0].find("activity,design,support,converged,ray,peak_strain_ue") == 0);
  CHECK(rays[17].find("walking-push-off,a,none,yes,2,1500,10,") == 0);
  CHECK(lines_of(day_shaft_csv(in)).size() == 1 + 3 * 5 * 3 * 2);
  const auto table = lines_of(day_csv(in, day));
  REQUIRE(table.size() == 1 + 3 * n_laws);
  CHECK_THAT(table[0], Contains("equivalent_strain_ue") && Contains("damage_share_walking-push-off_pct"));
  const auto commas = std::count(table[0].begin(), table[0].end(), ',');
  for (const std::string &line : table)
    CHECK(std::count(line.begin(), line.end(), ',') == commas);
  CHECK(table[1].find("a,none,yes,5.3,2,2,") == 0);
  CHECK_THAT(table[1], Contains(",1,1,1,0,")); // the reference against itself; standing adds nothing

  std::vector<std::vector<RankedDesign>> rankings;
  for (const ReportInput &a : in.activities)
    rankings.push_back(rank_designs(a));
  const auto j = nlohmann::json::parse(day_json(in, day, rankings));
  REQUIRE(j["activities"].size() == 3);
  CHECK(j["activities"][1]["name"] == "walking-push-off");
  CHECK(j["activities"][1]["steps_of_this_foot"] == 4000);
  CHECK(j["activities"][2]["designs"][1]["with_support"]["rays"][1]["peak_strain_ue"] == 1500);
  CHECK(j["day"]["steps_of_this_foot"] == 5000);
  CHECK(j["day"]["ranking"][0]["design"] == "b");
  const auto &at = j["day"]["ranking"][0]["with_support"];
  REQUIRE(at.size() == n_laws);
  CHECK(at[2]["exponent"] == 10.3);
  double share = 0;
  for (const auto &[name, percent] : at[2]["damage_share_pct"].items())
    share += percent.get<double>();
  CHECK(share == Approx(100));
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
