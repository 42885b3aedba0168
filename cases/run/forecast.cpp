// Unknowns, number of solves and time to expect.
#include "cases/run/forecast.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/run/step_solver.hpp"
#include "solver/forefoot_model.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <iterator>
#include <set>

namespace raybend {

namespace {

/// "4 insoles", "4 insoles or none (barefoot)", "no insole (barefoot)".
std::string insoles_words(const Case &c) {
  std::set<std::string> insoles;
  bool barefoot = false;
  for (std::size_t a = 0; a < c.day.size(); ++a)
    if (c.day[a].activity.barefoot)
      barefoot = true;
    else
      for (const Design &design : c.designs)
        for (const Design &d : {design, design.without_support()})
          insoles.insert(solve_key(c, a, d).substr(solve_key(c, a, d).find(':')));
  if (insoles.empty())
    return "no insole (barefoot)";
  return std::to_string(insoles.size()) + (insoles.size() == 1 ? " insole" : " insoles") +
         (barefoot ? " or none (barefoot)" : "");
}

/// s; `further`: after another solve of the same process. Measured on two cores of an AMD EPYC, a solve a core side by side:
/// the first of a model goes through the load path on the coarsest mesh.
double solve_time(const unsigned long unknowns, const bool further) {
  return further ? 1 + 0.027e-3 * unknowns : 4.5 + 0.035e-3 * unknowns;
}

/// Instants of a step that are likely to be solved: one more than the first ones (as of most ready cases).
std::size_t likely_instants(const DayActivity &day) {
  return day.course.empty()
             ? 1
             : std::min(day.course.size(), day.first.empty() ? day.course.size() : day.first.size() + 1);
}

} // namespace

// Until the slowest process is through each of them: an activity chooses its instants in one process (compare.cpp).
TimeForecast time_forecast(const Case &c, const std::size_t ranks) {
  const unsigned long n = ForefootModel::unknowns(c.settings.resolution),
                      coarse = ForefootModel::unknowns(Resolution::coarse);
  const auto run = [](const unsigned long unknowns, const std::size_t solves) {
    return solves == 0 ? 0 : solve_time(unknowns, false) + (solves - 1) * solve_time(unknowns, true);
  };
  std::vector<SolveTask> tasks = solve_tasks(c);
  TimeForecast time;
  time.pictures = 2 + 4 * c.day.size(); // start of the program, and 4 s for an activity's pictures
  std::size_t steps = 0, instants = 0;  // of activities with a course
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    const std::string key = solve_key(c, a, reference_design(c));
    const auto reference =
        std::find_if(tasks.begin(), tasks.end(), [&](const SolveTask &t) { return t.key == key; });
    const std::size_t k = likely_instants(c.day[a]);
    if (k < 2 || reference == tasks.end())
      continue;
    tasks.erase(reference);
    time.choosing += run(coarse, k);
    ++steps;
    instants += k;
  }
  if (steps > 0)
    time.choosing /= std::min(ranks, steps);
  time.references = run(n, (instants + ranks - 1) / ranks);
  const std::size_t groups = std::min(ranks, tasks.size());
  for (std::size_t group = 0; group < groups; ++group) {
    double solving = 0;
    std::size_t model = c.day.size(); // none yet
    for (const std::size_t i : solve_share(tasks, group, groups)) {
      const std::size_t a = tasks[i].activity;
      solving += solve_time(n, a == model) + (likely_instants(c.day[a]) - 1) * solve_time(n, true);
      model = a;
    }
    time.designs = std::max(time.designs, solving);
  }
  return time;
}

std::string mesh_forecast(const Case &c, const unsigned ranks) {
  const std::vector<SolveTask> tasks = solve_tasks(c);
  std::string solves =
      std::to_string(tasks.size()) + (tasks.size() == 1 ? " insole to solve" : " insoles to solve");
  const std::size_t loads = different_loads(c);
  if (c.day.size() > 1)
    solves =
        std::to_string(tasks.size()) + " solves (" + insoles_words(c) + " under " +
        std::to_string(c.day.size()) + " activities" +
        (loads < c.day.size() ? ", " + std::to_string(loads) + " of them with loads of their own)" : ")");
  std::vector<std::size_t> instants;
  std::transform(c.day.begin(), c.day.end(), std::back_inserter(instants), likely_instants);
  const auto [fewest, most] = std::minmax_element(instants.begin(), instants.end());
  if (*most > 1)
    solves += ", each at " + (*fewest < *most ? std::to_string(*fewest) + " to " : "") +
              std::to_string(*most) + " instants or so";
  char text[300];
  std::snprintf(text, sizeof text,
                "%lu unknowns (27-node hexahedra), %s;\n  about %.0f s on %u core%s, "
                "pictures included\n",
                ForefootModel::unknowns(c.settings.resolution), solves.c_str(),
                std::ceil(time_forecast(c, ranks).total() / 5) * 5, ranks, ranks == 1 ? "" : "s");
  return text;
}

} // namespace raybend
