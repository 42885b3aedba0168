// A step's instants, solved design by design.
#include "cases/run/step_solver.hpp"
#include "cases/run/instants.hpp"
#include "cases/run/solve_plan.hpp"
#include "solver/gather_results.hpp"
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace raybend {

namespace {

std::vector<Activity> course_of(const DayActivity &day) {
  return day.course.empty() ? std::vector<Activity>{day.activity} : day.course;
}

} // namespace

const Design &reference_design(const Case &c) {
  return *std::find_if(c.designs.begin(), c.designs.end(),
                       [&c](const Design &d) { return d.name == c.reference; });
}

StepReference reference_of(const Case &c, const std::size_t activity, const StepResult &result) {
  const std::vector<Activity> course = course_of(c.day[activity]);
  StepReference reference;
  double most = -1;
  for (const DesignResult &instant : result) {
    const auto it = std::find_if(course.begin(), course.end(), [&](const Activity &a) {
      return a.stance_percent == instant.stance_percent;
    });
    if (it == course.end())
      throw std::runtime_error("a result belongs to no instant of its activity");
    reference.instants.push_back(it - course.begin());
    if (const double strain = instant.ray[c.foot.painful_ray - 1].peak_strain.value; strain > most) {
      most = strain;
      reference.worst = reference.instants.back();
    }
  }
  reference.result = result;
  return reference;
}

StepSolver::StepSolver(const Case &c, const std::size_t activity, MPI_Comm comm)
    : case_(c), activity_(activity), comm_(comm), course_(course_of(c.day[activity])) {
  posture_.resize(course_.size());
}

ForefootModel &StepSolver::model() {
  if (!model_)
    model_ = std::make_unique<ForefootModel>(case_.foot, course_.front(), case_.settings, comm_);
  return *model_;
}

std::vector<double> StepSolver::watched(const DesignResult &result) const {
  double pressure = 0;
  for (const RayResult &ray : result.ray)
    pressure = std::max(pressure, ray.head_peak_pressure.value);
  return {result.ray[case_.foot.painful_ray - 1].peak_strain.value, pressure};
}

DesignResult StepSolver::solve_at(ForefootModel &model, const std::size_t instant, const Design &design,
                                  const Progress &progress) {
  model.take_instant(course_[instant], posture_[instant]);
  const std::string when =
      course_.size() > 1 ? std::to_string(std::lround(course_[instant].stance_percent)) + " % of stance, "
                         : "";
  return model.solve(design, [&](const std::string &line) { progress(when + line); });
}

StepReference StepSolver::choose_instants(const Progress &progress) {
  StepReference chosen;
  if (course_.size() == 1) {
    chosen.instants = {0};
    return chosen;
  }
  std::vector<CandidateInstant> candidates;
  for (const Activity &a : course_)
    candidates.push_back({a.stance_percent, {}});
  std::vector<std::size_t> next = case_.day[activity_].first;
  if (next.empty())
    for (std::size_t i = 0; i < course_.size(); ++i)
      next.push_back(i);
  const bool more_to_have = next.size() < course_.size();
  Settings coarse = case_.settings;
  coarse.resolution = Resolution::coarse;
  ForefootModel model(case_.foot, course_.front(), coarse, comm_);
  while (!next.empty()) {
    for (const std::size_t i : next) {
      std::vector<double> seen = watched(solve_at(model, i, reference_design(case_), progress));
      MPI_Bcast(seen.data(), static_cast<int>(seen.size()), MPI_DOUBLE, 0,
                comm_); // known on the first rank alone
      candidates[i].watched = seen;
    }
    next.clear();
    if (more_to_have)
      if (const auto more = next_instant(candidates))
        next.push_back(*more);
  }
  double most = -1;
  for (std::size_t i = 0; i < course_.size(); ++i)
    if (!candidates[i].watched.empty()) {
      chosen.instants.push_back(i);
      if (candidates[i].watched[0] > most) {
        most = candidates[i].watched[0];
        chosen.worst = i;
      }
    }
  return chosen;
}

StepResult StepSolver::solve_reference(const StepReference &chosen, const std::vector<std::size_t> &instants,
                                       const Progress &progress, const WriteFields &write_fields) {
  StepResult result;
  for (const std::size_t i : instants) {
    result.push_back(solve_at(model(), i, reference_design(case_), progress));
    if (write_fields && i == chosen.worst && result.back().converged)
      write_fields(model());
  }
  return result;
}

void StepSolver::take(const StepReference &reference) {
  reference_ = reference;
  for (std::size_t k = 0; k < reference.instants.size(); ++k)
    if (reference.result[k].converged)
      posture_[reference.instants[k]] = reference.result[k].posture;
}

StepResult StepSolver::solve(const Design &design, const Progress &progress,
                             const WriteFields &write_fields) {
  const bool again =
      case_.day[activity_].activity.barefoot ||
      solve_key(case_, activity_, design) == solve_key(case_, activity_, reference_design(case_));
  if (reference_.result.empty()) {
    StepReference reference = choose_instants(progress);
    reference.result =
        solve_reference(reference, reference.instants, progress, again ? write_fields : WriteFields());
    take(reference);
  }
  if (again)
    return reference_.result;
  const std::size_t n = reference_.instants.size();
  StepResult step(n);
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t place = backward_ ? n - 1 - k : k, instant = reference_.instants[place];
    step[place] = solve_at(model(), instant, design, progress);
    if (write_fields && instant == reference_.worst && step[place].converged)
      write_fields(model());
  }
  backward_ = !backward_;
  return step;
}

} // namespace raybend
