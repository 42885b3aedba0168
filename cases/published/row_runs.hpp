// The solves that published rows ask for: each distinct one once, all of one load with one model.
#pragma once
#include "cases/published/row_file.hpp"
#include <functional>
#include <set>

namespace raybend {

/// One foot under one activity, with every insole that is asked for; barefoot insoles are all alike.
struct LoadToSolve {
  std::string name; ///< every value in force, which tells it from the others
  Case foot_and_loads;
  std::vector<Design> designs;
};

struct RunPlace {
  std::size_t load = 0, design = 0;
};

/// What `rows` need together.
struct SolvesOfRows {
  std::vector<LoadToSolve> loads;
  std::vector<std::map<std::string, RunPlace>> place; ///< of each run, row by row
};
SolvesOfRows solves_of(const std::vector<PublishedRow> &rows);

/// Each design's results by its place in LoadToSolve::designs: one an instant of the step, activity by activity.
using LoadResults = std::map<std::size_t, StepResult>;

/// All results of one load; the first design is the reference, about whose posture the others turn. MPI must be
/// initialized. A solve that throws is a result that has not converged.
LoadResults solve_load(const LoadToSolve &load);

/// Puts the values into the rows. `results`: of each load. A result that is missing or has not converged is its rows'
/// failure.
void put_values(std::vector<PublishedRow> &rows, const SolvesOfRows &solves,
                const std::vector<LoadResults> &results);

} // namespace raybend
