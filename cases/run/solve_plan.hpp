// What is to be solved, and which rank solves what.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>
#include <vector>

namespace raybend {

/// One insole under one activity.
struct SolveTask {
  std::size_t activity = 0; ///< in Case::day; of several with the same loads the first
  Design design;
  bool with_support = true; ///< false: a design without its support elements
  std::string key;          ///< solve_key of both
};

/// Names a result: insoles that behave alike under the same loads share a key, whatever they and their
/// activities are called. Barefoot every insole does: rigid ground takes its place.
std::string solve_key(const Case &c, std::size_t activity, const Design &design);

/// How many of the day's activities load the foot unlike every earlier one.
std::size_t different_loads(const Case &c);

/// Every activity with loads of its own for every design with and without its support elements, each insole
/// once; activity by activity, designs as given first.
std::vector<SolveTask> solve_tasks(const Case &c);

/// Places in `tasks` that group `group` of `groups` solves, in turn: a run of the list, as long as the
/// others' to within one, so that a group changes its activity as seldom as can be (a new activity needs a new model,
/// whose first solve costs more than a further one) and a design starts from the one before it, which is mostly the
/// most alike.
std::vector<std::size_t> solve_share(const std::vector<SolveTask> &tasks, std::size_t group,
                                     std::size_t groups);

} // namespace raybend
