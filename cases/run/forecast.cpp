// Unknowns, number of solves and time to expect.
#include "cases/run/forecast.hpp"
#include "cases/run/solve_plan.hpp"
#include "solver/forefoot_model.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
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

} // namespace

std::string mesh_forecast(const Case &c, const unsigned ranks) {
  const unsigned long n = ForefootModel::unknowns(c.settings.resolution);
  const std::vector<SolveTask> tasks = solve_tasks(c);
  // Measured on a 2.2 GHz server, one design a core side by side: the first design of a core's model takes
  // 4.3 s for the load path on the coarsest mesh and 0.04 ms an unknown, each further one 1.3 s and 0.03 ms;
  // 4 s for an activity's pictures.
  const std::size_t groups = std::min<std::size_t>(ranks, tasks.size());
  double longest = 0;
  for (std::size_t group = 0; group < groups; ++group) {
    double solving = 0;
    std::size_t model = c.day.size(); // none yet
    for (const std::size_t i : solve_share(tasks, group, groups)) {
      solving += tasks[i].activity == model ? 1.3 + 0.03e-3 * n : 4.3 + 0.04e-3 * n;
      model = tasks[i].activity;
    }
    longest = std::max(longest, solving);
  }
  const double seconds = 2 + longest + 4 * c.day.size();
  std::string solves =
      std::to_string(tasks.size()) + (tasks.size() == 1 ? " insole to solve" : " insoles to solve");
  const std::size_t loads = different_loads(c);
  if (c.day.size() > 1)
    solves =
        std::to_string(tasks.size()) + " solves (" + insoles_words(c) + " under " +
        std::to_string(c.day.size()) + " activities" +
        (loads < c.day.size() ? ", " + std::to_string(loads) + " of them with loads of their own)" : ")");
  char text[300];
  std::snprintf(text, sizeof text,
                "%lu unknowns (27-node hexahedra), %s;\n  about %.0f s on %u core%s, "
                "pictures included\n",
                n, solves.c_str(), std::ceil(seconds / 5) * 5, ranks, ranks == 1 ? "" : "s");
  return text;
}

} // namespace raybend
