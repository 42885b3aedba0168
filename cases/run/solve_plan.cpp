// Which insoles are solved under which loads, once each, and which process solves them.
#include "cases/run/solve_plan.hpp"
#include "cases/run/alike.hpp"
#include <set>

namespace raybend {

namespace {

/// The first activity with the same loads.
std::size_t first_alike(const Case &c, const std::size_t activity) {
  std::size_t first = 0;
  while (!same_loads(c.day[first], c.day[activity]))
    ++first;
  return first;
}

} // namespace

std::string solve_key(const Case &c, const std::size_t activity, const Design &design) {
  return std::to_string(first_alike(c, activity)) + ": " +
         (c.day[activity].activity.barefoot ? "barefoot" : alike_text(design));
}

std::size_t different_loads(const Case &c) {
  std::size_t n = 0;
  for (std::size_t a = 0; a < c.day.size(); ++a)
    n += first_alike(c, a) == a;
  return n;
}

std::vector<SolveTask> solve_tasks(const Case &c) {
  std::vector<SolveTask> tasks;
  std::set<std::string> keys;
  const auto add = [&](const std::size_t activity, const Design &design, const bool with_support) {
    const std::string key = solve_key(c, activity, design);
    if (keys.insert(key).second)
      tasks.push_back({activity, design, with_support, key});
  };
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    for (const Design &design : c.designs)
      add(a, design, true);
    for (const Design &design : c.designs)
      if (!design.support.empty())
        add(a, design.without_support(), false);
  }
  return tasks;
}

std::vector<std::size_t> solve_share(const std::vector<SolveTask> &tasks, const std::size_t group,
                                     const std::size_t groups) {
  std::vector<std::size_t> share;
  for (std::size_t i = group * tasks.size() / groups; i < (group + 1) * tasks.size() / groups; ++i)
    share.push_back(i);
  return share;
}

} // namespace raybend
