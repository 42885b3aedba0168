// What is solved, once each, and what becomes of a design whose solve throws.
#include "cases/forefoot/reader.hpp"
#include "cases/run/forecast.hpp"
#include "cases/run/solve_in_turn.hpp"
#include "tests/case_files.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <new>
#include <set>
#include <stdexcept>

using namespace raybend;
using Catch::Matchers::Contains;

namespace {
const std::string shift = source_path("cases/shift.toml");
}

TEST_CASE("activities with the same loads are solved once", "[cases][day]") {
  // Activities 2 and 4 become alike but for name, steps and hours.
  const Case c = read_case(shift, {"activity[4].kind=walking", "activity[4].name=home",
                                   "activity[4].steps_per_hour=900", "activity[4].hours_per_day=1"});
  REQUIRE(c.day.size() == 4);
  CHECK(different_loads(c) == 3);
  const auto tasks = solve_tasks(c);
  CHECK(tasks.size() == 12); // of 16
  std::set<std::string> keys;
  for (const SolveTask &t : tasks) {
    CHECK(keys.insert(t.key).second);
    CHECK(t.activity != 3);
  }
  for (const Design &design : c.designs) {
    CHECK(solve_key(c, 3, design) == solve_key(c, 1, design));
    CHECK(solve_key(c, 3, design) != solve_key(c, 0, design));
    for (std::size_t a = 0; a < c.day.size(); ++a) // every result that the report needs is there
      for (const Design &d : {design, design.without_support()})
        CHECK(keys.count(solve_key(c, a, d)) == 1);
  }
  CHECK_THAT(mesh_forecast(c, 2),
             Contains("12 solves (4 insoles under 4 activities, 3 of them with loads of their own)"));
  CHECK_THAT(mesh_forecast(c, 2), Contains("each at 1 to 4 instants or so"));
  CHECK_THAT(mesh_forecast(c, 1), Contains(" s on 1 core, pictures included"));
  CHECK_THAT(mesh_forecast(c, 16), Contains(" s on 16 cores, pictures included"));
  // the smallest difference counts
  CHECK(different_loads(read_case(shift, {"activity[4].kind=walking", "activity[4].name=home",
                                          "activity[4].force_bw=1.1000001"})) == 4);
}

TEST_CASE("the forecast counts instants and cores", "[cases]") {
  const std::string warehouse = source_path("cases/warehouse.toml");
  const Case step = read_case(warehouse), instant = read_case(warehouse, {"activity.at_percent=75"});
  CHECK_THAT(mesh_forecast(step, 2), Contains("each at 4 instants or so"));
  CHECK_THAT(mesh_forecast(instant, 2), !Contains("instants"));
  const TimeForecast whole = time_forecast(step, 2), one = time_forecast(instant, 2);
  CHECK(one.choosing == 0);
  CHECK(one.references == 0);
  CHECK(whole.choosing > 0);
  CHECK(whole.references > 0);
  // five insoles at one instant, or four at four beside the reference's; measured: 2.3 times (solver/PERFORMANCE.md)
  CHECK(whole.total() > 2 * one.total());
  CHECK(whole.total() < 4 * one.total());
  CHECK(time_forecast(step, 1).total() > whole.total());
  CHECK(time_forecast(step, 16).total() < whole.total());
}

TEST_CASE("barefoot all designs share one solve, and a warning says so", "[cases][day]") {
  const std::string standing = source_path("cases/standing.toml");
  const Case alone = read_case(standing, {"activity.barefoot=true"});
  CHECK(solve_tasks(alone).size() == 1);
  CHECK(solve_key(alone, 0, alone.designs[0]) == solve_key(alone, 0, alone.designs[1].without_support()));
  REQUIRE(alone.warnings.size() == 1);
  CHECK_THAT(alone.warnings[0],
             Contains("--set: activity.barefoot: barefoot on rigid ground no design is under "
                      "the foot: all designs share one result there"));
  CHECK_THAT(mesh_forecast(alone, 2), Contains("1 insole to solve"));

  const Case day = read_case(shift, {"activity[3].barefoot=true"}); // of four, four insoles each
  const auto tasks = solve_tasks(day);
  CHECK(tasks.size() == 13);
  CHECK(std::count_if(tasks.begin(), tasks.end(), [](const SolveTask &t) { return t.activity == 2; }) == 1);
  CHECK(solve_key(day, 2, day.designs[0]) != solve_key(day, 1, day.designs[0]));
  REQUIRE(day.warnings.size() == 1);
  CHECK_THAT(day.warnings[0], Contains(day.day[2].name + ": barefoot on rigid ground"));
  CHECK_THAT(mesh_forecast(day, 2), Contains("13 solves (4 insoles or none (barefoot) under 4 activities)"));
}

TEST_CASE("a solve that throws is that design's failure alone", "[cases]") {
  const Case c = read_case(shift);
  const std::vector<SolveTask> tasks = solve_tasks(c); // four of each activity
  std::vector<std::size_t> models;
  SolveSteps steps;
  steps.new_model = [&](std::size_t activity) { models.push_back(activity); };
  steps.solve = [&](std::size_t i) -> StepResult {
    if (i == 1)
      throw std::runtime_error("a cell\nis inside out");
    if (i == 2)
      throw std::bad_alloc();
    DesignResult r;
    r.converged = true;
    r.applied_force = 100.0 + i;
    return {r};
  };
  std::map<std::string, StepResult> results;
  steps.found = [&](const std::string &key, const StepResult &r) { results[key] = r; };
  solve_in_turn(tasks, {0, 1, 2, 3, 4, 5}, MPI_COMM_SELF, steps);
  REQUIRE(results.size() == 6);
  CHECK(models == std::vector<std::size_t>{0, 0, 0, 1}); // anew after each failure, and for the next activity
  CHECK(results.at(tasks[0].key).front().converged);
  CHECK(results.at(tasks[5].key).front().applied_force == 105);
  const DesignResult &thrown = results.at(tasks[1].key).front(), &memory = results.at(tasks[2].key).front();
  CHECK_FALSE(thrown.converged);
  CHECK(thrown.message == "the calculation broke off: a cell is inside out");
  CHECK(thrown.design == tasks[1].design.name);
  CHECK(memory.message == "the calculation broke off: out of memory");

  steps.found = [](const std::string &, const StepResult &) { throw std::runtime_error("disk full"); };
  CHECK_THROWS_WITH(solve_in_turn(tasks, {0}, MPI_COMM_SELF, steps), "disk full");
  steps.new_model = [](std::size_t) { throw std::runtime_error("metatarsals touch"); };
  CHECK_THROWS_WITH(solve_in_turn(tasks, {0}, MPI_COMM_SELF, steps), "metatarsals touch");
}
