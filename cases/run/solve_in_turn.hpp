// One group of ranks solves its share of the tasks, one after another.
#pragma once
#include "cases/run/solve_plan.hpp"
#include "solver/results.hpp"
#include <functional>
#include <mpi.h>

namespace raybend {

/// What is done for a task; every rank of the group calls the same in the same order.
struct SolveSteps {
  std::function<void(std::size_t activity)> new_model; ///< forgets the model before
  std::function<StepResult(std::size_t task)> solve;   ///< with that model, at every instant
  std::function<void(const std::string &key, const StepResult &)> found; ///< every result, failed ones too
};

/// Solves the tasks at the places `share`. A new model is asked for where the activity changes,
/// and after a solve that threw. An exception of `solve` on any rank of `comm` is that design's failure: its
/// result has not converged and its message says why. Exceptions of the other steps are passed on: they
/// concern every design.
void solve_in_turn(const std::vector<SolveTask> &tasks, const std::vector<std::size_t> &share, MPI_Comm comm,
                   const SolveSteps &steps);

} // namespace raybend
