// One design after the other with one model: a solve that fails is that design's failure alone.
#include "cases/run/solve_in_turn.hpp"
#include "cases/words/words.hpp"
#include "postprocess/text/text_table.hpp"
#include "solver/gather_results.hpp"
#include <exception>
#include <new>
#include <optional>

namespace raybend {

void solve_in_turn(const std::vector<SolveTask> &tasks, const std::vector<std::size_t> &share, MPI_Comm comm,
                   const SolveSteps &steps) {
  std::optional<std::size_t> activity; // of the model at hand
  for (const std::size_t i : share) {
    const SolveTask &task = tasks[i];
    if (activity != task.activity) {
      steps.new_model(task.activity);
      activity = task.activity;
    }
    StepResult result;
    std::string failure;
    try {
      result = steps.solve(i);
    } catch (const std::bad_alloc &) {
      failure = "out of memory";
    } catch (const std::exception &error) {
      failure = printable(one_line(error.what()), 500);
      failure = failure.empty() ? "unknown error" : failure;
    }
    failure = gather_failure(failure, comm);
    if (!failure.empty()) {
      result.assign(1, {});
      result.front().message = "the calculation broke off: " + failure;
      activity.reset(); // what it left behind is in no known state
    }
    for (DesignResult &instant : result) {
      instant.design = task.design.name;
      instant.with_support = task.with_support;
    }
    steps.found(task.key, result);
  }
}

} // namespace raybend
