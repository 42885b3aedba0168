// What is solved, once each, and what becomes of a design whose solve throws.
#include "cases/compare.hpp"
#include "cases/reader.hpp"
#include "cases/solve_in_turn.hpp"
#include "tests/case_files.hpp"
#include <catch2/catch.hpp>
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
  const Case c = read_case(shift, {"activity[4].kind=walking-push-off", "activity[4].name=home",
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
  CHECK_THAT(mesh_forecast(c),
             Contains("12 solves (4 insoles under 4 activities, 3 of them with loads of their own)"));
  // the smallest difference counts
  CHECK(different_loads(read_case(shift, {"activity[4].kind=walking-push-off", "activity[4].name=home",
                                          "activity[4].heel_rise_deg=20.0000001"})) == 4);
}

TEST_CASE("a solve that throws is that design's failure alone", "[cases]") {
  const Case c = read_case(shift);
  const std::vector<SolveTask> tasks = solve_tasks(c); // four of each activity
  std::vector<std::size_t> models, solved;
  SolveSteps steps;
  steps.new_model = [&](std::size_t activity) { models.push_back(activity); };
  steps.solve = [&](std::size_t i) -> DesignResult {
    if (i == 1)
      throw std::runtime_error("a cell\nis inside out");
    if (i == 2)
      throw std::bad_alloc();
    DesignResult r;
    r.converged = true;
    r.applied_force = 100.0 + i;
    return r;
  };
  steps.solved = [&](std::size_t i, const DesignResult &) { solved.push_back(i); };
  const auto results = solve_in_turn(tasks, {0, 1, 2, 3, 4, 5}, MPI_COMM_SELF, steps);
  REQUIRE(results.size() == 6);
  CHECK(solved == std::vector<std::size_t>{0, 3, 4, 5});
  CHECK(models == std::vector<std::size_t>{0, 0, 0, 1}); // anew after each failure, and for the next activity
  CHECK(results.at(tasks[0].key).converged);
  CHECK(results.at(tasks[5].key).applied_force == 105);
  const DesignResult &thrown = results.at(tasks[1].key), &memory = results.at(tasks[2].key);
  CHECK_FALSE(thrown.converged);
  CHECK(thrown.message == "the calculation broke off: a cell is inside out");
  CHECK(thrown.design == tasks[1].design.name);
  CHECK(memory.message == "the calculation broke off: out of memory");

  steps.solved = [](std::size_t, const DesignResult &) { throw std::runtime_error("disk full"); };
  CHECK_THROWS_WITH(solve_in_turn(tasks, {0}, MPI_COMM_SELF, steps), "disk full");
  steps.new_model = [](std::size_t) { throw std::runtime_error("metatarsals touch"); };
  CHECK_THROWS_WITH(solve_in_turn(tasks, {0}, MPI_COMM_SELF, steps), "metatarsals touch");
}
