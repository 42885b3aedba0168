// A day in words and tables: the answer, what stays open, warnings, day.csv, JSON.
#include "postprocess/files/day_tables.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/day_answer.hpp"
#include "postprocess/words/day_summary.hpp"
#include "postprocess/words/warnings.hpp"
#include "tests/report/lines.hpp"
#include "tests/report/sample_day.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace raybend;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;

namespace {

std::string answered(const DayInput &in) {
  return answer_text(day_answer(in, rank_day(in)));
}

} // namespace

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
  CHECK_THAT(answered(in), Contains("depends on the exponent"));
  CHECK_THAT(order_words(in, day),
             Contains("\"Title a\" is better than \"Title b\" at m = 5.3 and 6.6, worse at m = 14.1, not "
                      "told apart at m = 10.3."));

  // "b" 1635: at 14.1 it is better by 15, which is within the bands; at the others worse by more than they are.
  in.activities = {part("walking-push-off", 9500, {1500, 1635}), part("carrying", 500, {2000, 1635})};
  REQUIRE(rank_day(in).crossings.size() == 1);
  CHECK_FALSE(rank_day(in).crossings[0].told_apart);
  CHECK_THAT(
      order_words(in, rank_day(in)),
      Contains("only where this mesh cannot tell the designs apart: \"Title a\" is better than \"Title b\" "
               "at m = 5.3, 6.6 and 10.3, not told apart at m = 14.1."));

  in.activities = {part("walking-push-off", 9500, {1500, 1600}, 200),
                   part("carrying", 500, {2000, 1600}, 200)};
  CHECK_THAT(order_words(in, rank_day(in)), Contains("only where this mesh cannot tell the designs apart."));
  in.activities = {part("walking-push-off", 9500, {1500, 1700}), part("carrying", 500, {1800, 2000})};
  CHECK_THAT(order_words(in, rank_day(in)), Contains("the same at all four exponents"));
  CHECK_THAT(answered(in), Contains("at all four published exponents"));
}

TEST_CASE("designs that are not told apart over the day are one warning", "[day][ranking]") {
  // a, b and c lie within each other's bands, d does not
  DayInput in;
  in.activities = {part("walking-push-off", 4000, {1500, 1505, 1510, 1900})};
  const auto warnings = day_warnings(in, rank_day(in));
  REQUIRE(warnings.size() == 1);
  CHECK(warnings[0] ==
        "Not told apart over the day at this mesh, because the difference is smaller than its own "
        "band: A from B and C; B from C. A finer resolution may separate them.");
  // Of "a", 1548 at m = 5.3 and 1650 at 14.1, and "b", 1600: apart at some exponents, not at others.
  in.activities = {part("walking-push-off", 9500, {1500, 1600}, 10), part("carrying", 500, {2000, 1600}, 10)};
  const DayRanking day = rank_day(in);
  std::vector<std::size_t> open;
  for (std::size_t l = 0; l < n_laws; ++l)
    if (!told_apart(day.of(0).with.strain[l], day.of(1).with.strain[l]))
      open.push_back(l);
  REQUIRE(!open.empty());
  REQUIRE(open.size() < n_laws);
  REQUIRE(day_warnings(in, day).size() == 1);
  CHECK_THAT(day_warnings(in, day)[0], Contains("A from B (at " + exponent_words(open) + ")"));
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
  CHECK_THAT(
      answered(in),
      StartsWith("Over the whole day, of the designs that can be ranked, \"Title c\" leaves the least"));
  const auto life = [&in] {
    std::vector<std::vector<RankedDesign>> rankings;
    for (const ReportInput &a : in.activities)
      rankings.push_back(rank_designs(a));
    return one_line(day_details(in, rank_day(in), rankings));
  };
  CHECK_THAT(life(), !Contains("there is nothing to compare with"));
  in.activities[1].outcomes[0].with.converged = false;
  CHECK_THAT(life(), Contains("so there is nothing to compare with. How many times the reference's days"));
  CHECK_THAT(answered(in), Contains("the only design that converged in every activity"));
  for (std::size_t i : {0, 1, 2})
    in.activities[1].outcomes[i].with.converged = false;
  CHECK_THAT(answered(in), Contains("No design converged in every activity"));
}

TEST_CASE("day.csv leaves a field empty where there is no number", "[day][tables]") {
  DayInput in; // a band as large as the strain: the life ratio has no upper end
  in.activities = {part("walking-push-off", 4000, {1500, 1300}, 1400)};
  const std::string csv = day_csv(in, rank_day(in));
  CHECK_THAT(csv, !Contains("inf") && !Contains("nan"));
  for (const std::string &line : lines_of(csv))
    CHECK(std::count(line.begin(), line.end(), ',') ==
          std::count(csv.begin(), csv.begin() + csv.find('\n'), ','));
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
  in.activities[1].outcomes[1].without = day_result(1450, 10);
  const DayRanking day = rank_day(in);
  std::vector<std::vector<RankedDesign>> rankings;
  for (const ReportInput &a : in.activities)
    rankings.push_back(rank_designs(a));
  const std::string text = day_details(in, day, rankings, {"day.csv"});
  CHECK(text.find("## Answer for the whole day") < text.find("## Activity: standing"));
  CHECK_THAT(one_line(text), Contains("not a prediction") &&
                                 Contains("\"standing\" (no steps) adds no load cycles") &&
                                 Contains("Pattin 1996, compression"));
  for (const char *exponent : {"m 5.3", "m 6.6", "m 10.3", "m 14.1"})
    CHECK_THAT(text, Contains(exponent));
  // 1500 against 1300 ue with the same steps: (1500 / 1300)^5.3 = 2.13; the pad's effect 1300 / 1450 - 1 =
  // -10.3 %
  CHECK_THAT(text, Contains("2.13 (") && Contains("-10.3"));
  // 1300 ± 10 against 1500 ± 10, no coarser values: 100 (10 + 10) / 1500 = 1.33 %
  CHECK_THAT(text, Contains("-13.3 ± 1.3"));
  CHECK_THAT(
      answered(in),
      Contains(
          "equal to 1300 ± 10 ue (microstrain) at every step, 13.3 ± 1.3 % less than the reference \"Title "
          "a\"."));
  // all rays have 1300 ue against 1450 ue without the pad, and nothing else changes
  CHECK_THAT(
      answered(in),
      Contains("In \"walking-push-off\" its support elements change the peak strain of ray 2 by -10.3 ±") &&
          Contains("They relieve, among others: ray 1 strain 1450 to 1300 ue (-10 %). Load goes nowhere"));
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

TEST_CASE("the day's answer gives a strain with its range and band, a change with its own",
          "[day][summary]") {
  DayInput in; // the reference is best: 1000 and 1100 ue with as many steps, so a range over the exponents
  in.activities = {part("walking-push-off", 4000, {1000, 1500}), part("carrying", 4000, {1100, 1500})};
  const auto said = [&in] { return answered(in); };
  // ((1 + 1.1^m) / 2)^(1/m): m = 5.3: ((1 + 1.6572) / 2)^0.18868 = 1.0551; 14.1: ((1 + 3.8339) / 2)^0.07092
  // = 1.0646
  CHECK_THAT(
      said(),
      Contains("equal to 1055 to 1065 ue (microstrain; ± 10 at most) at every step; it is the reference "
               "itself. The order of"));
  for (ReportInput &a : in.activities)
    a.reference = "b"; // 1 - 1055.1 / 1500 = 29.7 %, 1 - 1064.6 / 1500 = 29.0 %
  CHECK_THAT(said(),
             Contains("at every step, 29.0 to 29.7 % (± 1.3 at most) less than the reference \"Title b\"."));
  for (ReportInput &a : in.activities)
    a.reference = "a";
  in.activities.pop_back(); // one strain: no range
  CHECK_THAT(said(), Contains("All of its damage sum comes from \"walking-push-off\"."));
  CHECK_THAT(said(),
             Contains("equal to 1000 ± 10 ue (microstrain) at every step; it is the reference itself."));
}

TEST_CASE("standing long is spoken of only where somebody stands", "[day][summary]") {
  const auto text = [](const DayInput &in) {
    return one_line(
        day_details(in, rank_day(in), {rank_designs(in.activities[0]), rank_designs(in.activities[1])}));
  };
  DayInput in;
  in.activities = {part("carrying", 100, {700, 600}), part("walking-push-off", 4000, {1500, 1300})};
  in.activities[0].activity.hours_per_day = 0;
  CHECK_THAT(text(in), Contains("\"carrying\" (0 hours) adds no load cycles") && !Contains("standing long"));
  in.activities[0] = part("standing", 0, {700, 600});
  CHECK_THAT(text(in), Contains("\"standing\" (no steps) adds no load cycles") && Contains("standing long"));
}

TEST_CASE("the day's summary has each activity's peaks, places, shares and changes", "[day][summary]") {
  DayInput in;
  in.activities = {part("stairs", 100, {700, 600}), part("walking-push-off", 4000, {1500, 1300})};
  for (ReportInput &a : in.activities)
    for (RayResult &ray : a.outcomes[1].with.ray) {
      ray.head_force = {50, 4};
      ray.peak_dorsal = {-1234, 10};
      ray.peak_dorsal_at = 0.45;
    }
  const auto rankings = [&in] {
    std::vector<std::vector<RankedDesign>> all;
    for (const ReportInput &a : in.activities)
      all.push_back(rank_designs(a));
    return all;
  };
  const std::string text = day_details(in, rank_day(in), rankings());
  for (const char *head :
       {"\nDorsal peak, ue; at, %:", "\nPlantar peak, ue; at, %:", "\nMoment M, N mm; at, %:",
        "\nHead force, N; share, %:", "\nShaft force, N:", "\nWhat changed:"}) {
    INFO(head);
    const std::size_t first = text.find(head);
    REQUIRE(first != std::string::npos);
    CHECK(text.find(head, first + 1) != std::string::npos);
  }
  CHECK_THAT(text, Contains("-1234 ± 10; 45") && Contains("50 ± 4; 20"));
  CHECK_THAT(text, Contains("| Title b | reference |   2 |"));
  CHECK_THAT(one_line(text), Contains("a number in brackets") && Contains("M positive"));
  in.activities[0].outcomes.pop_back(); // one design: nothing to compare with
  in.activities[1].outcomes.pop_back();
  CHECK_THAT(one_line(day_details(in, rank_day(in), rankings())),
             !Contains("a number in brackets") && !Contains("What changed") && Contains("M positive"));
}

TEST_CASE("the day's warnings name strains at the end of a shaft", "[day][summary]") {
  DayInput in;
  in.activities = {part("walking-push-off", 4000, {1500, 1300})};
  RayResult &ray = in.activities[0].outcomes[1].with.ray[1];
  ray.peak_strain_at_end = true;
  ray.peak_strain_at = 0.18;
  ray.shaft[0].strain_extreme = 1400;
  const auto warnings = day_warnings(in, rank_day(in));
  REQUIRE(warnings.size() == 1);
  CHECK_THAT(
      warnings[0],
      Contains("\"walking-push-off\": Ray 2 is strained more outside the part that counts, between 15 and "
               "85 % of the length: \"Title b\" 1400 ue at 0 % against 1300"));
}

TEST_CASE("the day's answer says what is beyond its range, and in which activity", "[day][summary]") {
  DayInput in;
  in.activities = {part("walking-push-off", 4000, {1500, 1300}), part("stairs", 100, {2000, 1800})};
  CHECK_THAT(answered(in), !Contains("4000 ue"));
  in.activities[1].outcomes[0].with.ray[2].peak_strain.value = 5000; // of the other design
  CHECK_THAT(answered(in), !Contains("4000 ue"));
  in.activities[0].outcomes[1].with.ray[3].peak_strain.value = 4100;
  in.activities[1].outcomes[1].with.ray[4].peak_strain.value = 4300;
  CHECK_THAT(answered(in), Contains("Beyond 4000 ue, which bone bears for some thousand cycles only: in "
                                    "\"walking-push-off\" ray 4 (4100); in \"stairs\" ray 5 (4300). Ray 5 "
                                    "comes out more bent than published"));
  const auto warnings = day_warnings(in, rank_day(in));
  REQUIRE(warnings.size() == 1);
  CHECK_THAT(warnings[0], Contains("in \"walking-push-off\" B ray 4 (4100); in \"stairs\" A ray 3 "
                                   "(5000); B ray 5 (4300). Load"));
}

TEST_CASE("the day's answer begins with what is not told apart", "[day][summary]") {
  DayInput in; // the reference is a
  in.activities = {part("walking-push-off", 4000, {1500, 1450}, 100), part("stairs", 100, {2000, 1950}, 100)};
  CHECK_THAT(answered(in),
             StartsWith("No design is told apart from another by the strain in ray 2 over the whole "
                        "day. The least is calculated for \"Title b\" at all four"));
  CHECK_THAT(answered(in), !Contains("Not told apart from it"));
  in.activities = {part("walking-push-off", 4000, {1500, 1450, 1900}, 50)};
  CHECK_THAT(
      answered(in),
      StartsWith("No design is told apart from the reference \"Title a\" as the better one for ray 2 over "
                 "the whole day. The least is calculated for \"Title b\"") &&
          Contains("Not told apart from it at this mesh: \"Title a\"."));
}

TEST_CASE("the day's sum says how it adds up", "[day][summary]") {
  const auto text = [](const DayInput &in) {
    std::vector<std::vector<RankedDesign>> all;
    for (const ReportInput &a : in.activities)
      all.push_back(rank_designs(a));
    const std::string whole = one_line(day_details(in, rank_day(in), all));
    return whole.substr(whole.find("## Day"), whole.find("## Whole-day ranking") - whole.find("## Day"));
  };
  DayInput in;
  in.activities = {part("walking-push-off", 4000, {1500, 1300}), part("standing", 0, {700, 600})};
  CHECK_THAT(text(in), !Contains("spot by spot")); // one activity with steps: nothing is added
  in.activities.push_back(part("stairs", 100, {2000, 1800}));
  CHECK_THAT(text(in), Contains("adds up damage spot by spot"));
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
  CHECK(table[9].find("b,without,yes,5.3,,,") == 0); // no rank without its support elements
  for (const std::string &line : table)
    CHECK(line.find("nan") == std::string::npos);
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
