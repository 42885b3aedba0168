// Plan, solves and values of published rows.
#include "cases/published/row_runs.hpp"
#include "cases/run/step_solver.hpp"
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace raybend {

namespace {

bool barefoot(const Case &c) {
  return std::all_of(c.day.begin(), c.day.end(), [](const DayActivity &d) { return d.activity.barefoot; });
}

/// Every value in force that loads the foot.
std::string load_text(const Case &c) {
  std::string text;
  for (const Case::Resolved &r : c.resolved)
    if (r.key.rfind("designs", 0) != 0)
      text += r.key + "=" + r.value + "\n";
  return text;
}

/// Every value in force of the design, but for its names.
std::string design_text(const Case &c, const Design &design) {
  const auto same = [&](const Design &d) { return d.name == design.name; };
  const std::string place =
      "designs[" +
      std::to_string(std::find_if(c.designs.begin(), c.designs.end(), same) - c.designs.begin() + 1) + "].";
  std::string text;
  for (const Case::Resolved &r : c.resolved)
    if (r.key.rfind(place, 0) == 0 && r.key != place + "name" && r.key != place + "title")
      text += r.key.substr(place.size()) + "=" + r.value + "\n";
  return text;
}

/// The place of `key` in `keys`, which gets it at its end if it is new.
std::size_t place_of(std::vector<std::string> &keys, const std::string &key) {
  const std::size_t place = std::find(keys.begin(), keys.end(), key) - keys.begin();
  if (place == keys.size())
    keys.push_back(key);
  return place;
}

/// Throws std::runtime_error with what stopped a solve.
FootRun foot_run(const LoadToSolve &load, const RunPlace &place, const LoadResults &results) {
  FootRun run;
  run.body_weight = load.foot_and_loads.foot.body_mass_kg * standard_gravity;
  const auto it = results.find(place.design);
  if (it == results.end() || it->second.empty())
    throw std::runtime_error("no result");
  for (const DesignResult &instant : it->second) {
    if (!instant.converged)
      throw std::runtime_error(instant.message);
    constexpr double balance = 1e-6; // the solver's tolerance is 1e-7
    if (!(std::abs(instant.ground_force - instant.applied_force) <= balance * instant.applied_force))
      throw std::runtime_error("the ground does not carry the applied force");
    run.instants.push_back(instant);
  }
  return run;
}

double value_of(const PublishedTerm &term, const std::map<std::string, FootRun> &runs) {
  const double value = read_foot(term.reading, runs.at(term.run));
  return term.minus.empty() ? value : value - read_foot(term.reading, runs.at(term.minus));
}

double value_of(const PublishedQuantity &q, const std::map<std::string, FootRun> &runs) {
  const double value = value_of(q.value, runs);
  if (!q.over)
    return value;
  const double ratio = value / value_of(*q.over, runs);
  return q.change ? 100 * (ratio - 1) : ratio;
}

} // namespace

SolvesOfRows solves_of(const std::vector<PublishedRow> &rows) {
  SolvesOfRows solves;
  std::vector<std::string> loads;
  std::vector<std::vector<std::string>> designs; // of each load
  for (const PublishedRow &row : rows) {
    solves.place.emplace_back();
    for (const auto &[name, run] : row.runs) {
      const Case &c = run.foot_and_loads;
      RunPlace place;
      place.load = place_of(loads, load_text(c));
      if (place.load == solves.loads.size()) {
        solves.loads.push_back({loads.back(), c, {}});
        designs.emplace_back();
      }
      place.design = place_of(designs[place.load], barefoot(c) ? "" : design_text(c, run.design));
      if (place.design == solves.loads[place.load].designs.size())
        solves.loads[place.load].designs.push_back(run.design);
      solves.place.back()[name] = place;
    }
  }
  return solves;
}

LoadResults solve_load(const LoadToSolve &load) {
  LoadResults results;
  Case c = load.foot_and_loads;
  c.designs = load.designs;
  c.reference = c.designs.front().name;
  for (std::size_t i = 0; i < c.day.size(); ++i) {
    std::unique_ptr<StepSolver> solver;
    for (std::size_t d = 0; d < c.designs.size(); ++d) {
      StepResult step(1);
      try {
        if (!solver)
          solver = std::make_unique<StepSolver>(c, i, MPI_COMM_WORLD);
        step = solver->solve(c.designs[d], [](const std::string &) {});
      } catch (const std::exception &error) {
        step.front().message = error.what();
        solver.reset(); // what it left behind is in no known state
      }
      results[d].insert(results[d].end(), step.begin(), step.end());
    }
  }
  return results;
}

void put_values(std::vector<PublishedRow> &rows, const SolvesOfRows &solves,
                const std::vector<LoadResults> &results) {
  for (std::size_t i = 0; i < rows.size(); ++i) {
    PublishedRow &row = rows[i];
    std::map<std::string, FootRun> runs;
    for (const auto &[name, place] : solves.place[i])
      try {
        runs[name] = foot_run(solves.loads[place.load], place, results[place.load]);
      } catch (const std::runtime_error &error) {
        row.shown.failure = name + ": " + error.what();
      }
    if (row.shown.failure.empty())
      for (std::size_t k = 0; k < row.quantities.size(); ++k)
        row.shown.quantities[k].value = value_of(row.quantities[k], runs);
  }
}

} // namespace raybend
