// Runs to solves: what is alike is solved once.
#include "cases/study/run_units.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/alike.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/study/plan/plan.hpp"
#include <algorithm>
#include <map>

namespace raybend {

namespace {

const Design &named(const Case &c, const std::string &name) {
  return *std::find_if(c.designs.begin(), c.designs.end(), [&](const Design &d) { return d.name == name; });
}

/// Every value in force that loads the foot, and the reference.
std::string group_text(const Case &c) {
  std::string text = alike_text(named(c, c.reference));
  for (const Case::Resolved &r : c.resolved)
    if (r.key.compare(0, 7, "designs") != 0)
      text += "\n" + r.key + "=" + r.value;
  return text;
}

} // namespace

std::string activity_name(const DayActivity &activity) {
  return activity.name.empty() ? activity.activity.name : activity.name;
}

Case case_at(const Study &study, const StudyPoint &point) {
  return read_case_from_text(study.case_text, study.case_path, sets_of(study, point), {1, false});
}

StudyUnits units_of(const ReadStudy &read) {
  StudyUnits all;
  std::map<std::string, std::size_t> groups, units;
  for (std::size_t p = 0; p < read.points.size(); ++p) {
    const auto name = [&](std::size_t activity, const std::string &design) {
      return RunName{p + 1, activity_name(read.base.day[activity]), design};
    };
    all.runs += read.base.day.size() * read.study.designs.size();
    try {
      const Case c = case_at(read.study, read.points[p]);
      const std::size_t group = groups.emplace(group_text(c), groups.size()).first->second;
      for (std::size_t a = 0; a < c.day.size(); ++a)
        for (const std::string &design : read.study.designs) {
          const std::string key = std::to_string(group) + "; " + solve_key(c, a, named(c, design));
          const auto [it, fresh] = units.emplace(key, all.units.size());
          if (fresh)
            all.units.push_back({group, a, p, design, {}});
          all.units[it->second].serves.push_back(name(a, design));
        }
    } catch (const CaseError &error) {
      std::string why;
      for (const Fault &f : error.faults())
        why += (why.empty() ? "" : "; ") + f.message();
      for (std::size_t a = 0; a < read.base.day.size(); ++a)
        for (const std::string &design : read.study.designs)
          all.refused.push_back({name(a, design), "refused", why, 0, {}});
    }
  }
  std::stable_sort(all.units.begin(), all.units.end(), [](const SolveUnit &a, const SolveUnit &b) {
    return std::tie(a.group, a.activity) < std::tie(b.group, b.activity);
  });
  return all;
}

StudyUnits share_of(const StudyUnits &all, const std::size_t k, const std::size_t n) {
  StudyUnits share;
  const std::size_t from = (k - 1) * all.units.size() / n, to = k * all.units.size() / n;
  share.units.assign(all.units.begin() + from, all.units.begin() + to);
  if (k == 1)
    share.refused = all.refused;
  share.runs = share.refused.size();
  for (const SolveUnit &unit : share.units)
    share.runs += unit.serves.size();
  return share;
}

} // namespace raybend
