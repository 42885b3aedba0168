// A step's instants, solved design by design.
#include "cases/run/step_solver.hpp"
#include "cases/run/instants.hpp"
#include "cases/run/solve_plan.hpp"
#include "solver/gather_results.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

StepSolver::StepSolver(const Case &c, const std::size_t activity, MPI_Comm comm)
    : case_(c), activity_(activity), comm_(comm), course_(c.day[activity].course) {
  if (course_.empty())
    course_ = {c.day[activity].activity};
  posture_.resize(course_.size());
  model_ = std::make_unique<ForefootModel>(c.foot, course_.front(), c.settings, comm);
}

std::vector<double> StepSolver::watched(const DesignResult &result) const {
  double pressure = 0;
  for (const RayResult &ray : result.ray)
    pressure = std::max(pressure, ray.head_peak_pressure.value);
  return {result.ray[case_.foot.painful_ray - 1].peak_strain.value, pressure};
}

DesignResult StepSolver::solve_at(const std::size_t instant, const Design &design, const Progress &progress) {
  model_->take_instant(course_[instant], posture_[instant]);
  const std::string when =
      course_.size() > 1 ? std::to_string(std::lround(course_[instant].stance_percent)) + " % of stance, "
                         : "";
  return model_->solve(design, [&](const std::string &line) { progress(when + line); });
}

void StepSolver::solve_reference(const Progress &progress) {
  const auto reference = std::find_if(case_.designs.begin(), case_.designs.end(),
                                      [this](const Design &d) { return d.name == case_.reference; });
  std::vector<CandidateInstant> candidates;
  for (const Activity &a : course_)
    candidates.push_back({a.stance_percent, {}});
  std::vector<DesignResult> solved(course_.size());
  std::vector<std::size_t> next = case_.day[activity_].first;
  if (next.empty())
    for (std::size_t i = 0; i < course_.size(); ++i)
      next.push_back(i);
  const bool chosen = next.size() < course_.size(); // more instants are to be had
  while (!next.empty()) {
    for (const std::size_t i : next) {
      solved[i] = solve_at(i, *reference, progress);
      std::vector<double> seen = watched(solved[i]); // known on the first rank alone
      MPI_Bcast(seen.data(), static_cast<int>(seen.size()), MPI_DOUBLE, 0, comm_);
      candidates[i].watched = seen;
      if (solved[i].converged)
        posture_[i] = solved[i].posture;
    }
    next.clear();
    if (chosen)
      if (const auto more = next_instant(candidates))
        next.push_back(*more);
  }
  double worst = -1;
  for (std::size_t i = 0; i < course_.size(); ++i)
    if (!candidates[i].watched.empty()) {
      instants_.push_back(i);
      reference_.push_back(solved[i]);
      if (candidates[i].watched[0] > worst) {
        worst = candidates[i].watched[0];
        worst_ = i;
      }
    }
}

StepResult StepSolver::solve(const Design &design, const Progress &progress,
                             const std::function<void(const ForefootModel &)> &write_fields) {
  if (instants_.empty())
    solve_reference(progress);
  StepResult step(instants_.size());
  const bool again =
      case_.day[activity_].activity.barefoot ||
      solve_key(case_, activity_, design) ==
          solve_key(case_, activity_,
                    *std::find_if(case_.designs.begin(), case_.designs.end(),
                                  [this](const Design &d) { return d.name == case_.reference; }));
  for (std::size_t k = 0; k < instants_.size(); ++k) {
    const std::size_t place = backward_ ? instants_.size() - 1 - k : k;
    const std::size_t instant = instants_[place];
    if (again && !(write_fields && instant == worst_)) {
      step[place] = reference_[place];
      continue;
    }
    std::optional<MidfootPosture> about = posture_[instant];
    if (again) // the reference once more, for its fields
      posture_[instant].reset();
    step[place] = solve_at(instant, design, progress);
    posture_[instant] = about;
    if (write_fields && instant == worst_ && step[place].converged)
      write_fields(*model_);
  }
  backward_ = !backward_;
  return step;
}

} // namespace raybend
