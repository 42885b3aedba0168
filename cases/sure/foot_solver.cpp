// Solves one foot of the sample.
#include "cases/sure/foot_solver.hpp"
#include "cases/catalogue/activities.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/run/step_solver.hpp"
#include "cases/sure/evidence.hpp"
#include "postprocess/compare/step.hpp"
#include <algorithm>
#include <cmath>
#include <map>

namespace raybend {

namespace {

constexpr double barefoot_stance =
    80; ///< where the heads press most in walking (per cent, published 78 to 84)

/// The coarser value where that is asked for and known.
double value_of(const Banded &b, const bool coarser) {
  return coarser && std::isfinite(b.coarser) ? b.coarser : b.value;
}

} // namespace

Case at_instants(const Case &c, const std::vector<std::size_t> &instants) {
  Case reduced = c;
  for (std::size_t a = 0; a < reduced.day.size(); ++a) {
    DayActivity &day = reduced.day[a];
    if (!day.course.empty())
      day.activity = day.course[instants[a]];
    day.course.clear();
    day.first.clear();
  }
  DayActivity barefoot;
  barefoot.name = "walking barefoot";
  barefoot.activity = course_at(named_activity("walking").course, barefoot_stance);
  barefoot.activity.barefoot = true;
  barefoot.activity.carried_kg = 0;
  reduced.day.push_back(barefoot);
  return reduced;
}

FootOutputs no_outputs(const std::size_t designs) {
  FootOutputs out;
  out.strain.assign(designs, std::nan(""));
  out.head_rise = out.ray_rise = out.strain;
  return out;
}

FootOutputs outputs_of(const Case &c, const std::vector<std::vector<DesignResult>> &results,
                       const bool coarser, const std::size_t law) {
  const std::size_t n = c.designs.size(), painful = c.foot.painful_ray - 1;
  const std::size_t reference = &reference_design(c) - c.designs.data();
  FootOutputs out = no_outputs(n);
  for (std::size_t d = 0; d < n; ++d) {
    std::vector<Banded> strains;
    std::vector<double> cycles;
    std::vector<const RayResult *> instants; // of the painful ray
    double head = std::nan(""), ray = std::nan("");
    bool carries = true;
    for (std::size_t a = 0; a < results.size(); ++a) {
      if (results.size() > 1 && !(c.day[a].cycles() > 0))
        continue; // adds nothing to the day
      const DesignResult &r = results[a][d], &before = results[a][reference];
      carries &= r.converged && before.converged && !heads_hang(r) && !heads_hang(before);
      if (!carries)
        break;
      Banded strain;
      strain.value = value_of(r.ray[painful].peak_strain, coarser);
      strains.push_back(strain);
      instants.push_back(&r.ray[painful]);
      cycles.push_back(c.day[a].cycles());
      for (std::size_t i = 0; i < 5; ++i) {
        const double now = value_of(r.ray[i].head_peak_pressure, coarser);
        if (now > felt_pressure)
          head = std::fmax(head, std::log(now / value_of(before.ray[i].head_peak_pressure, coarser)));
        if (i != painful)
          ray = std::fmax(ray, std::log(value_of(r.ray[i].peak_strain, coarser) /
                                        value_of(before.ray[i].peak_strain, coarser)));
      }
    }
    if (!carries || strains.empty())
      continue;
    out.strain[d] = strains[0].value;
    if (strains.size() > 1) { // a day
      std::vector<RayResult> steps(instants.size());
      std::vector<const RayResult *> rays;
      for (std::size_t i = 0; i < steps.size(); ++i) {
        steps[i].peak_strain = instants[i]->peak_strain;
        take_ranges({instants[i]}, c.foot, c.foot.painful_ray, steps[i]);
        rays.push_back(&steps[i]);
      }
      const double m = fatigue_laws[law].exponent;
      out.strain[d] = worst_spot(rays, cycles, m).factor * equivalent_strain(strains, cycles, m).value;
    }
    out.head_rise[d] = head;
    out.ray_rise[d] = ray;
  }
  return out;
}

ForefootModel &FootSolver::model(const Case &c, const std::size_t activity, const bool coarse) {
  if (!coarse) {
    finer_.reset(); // two would take twice the memory
    finer_ = std::make_unique<ForefootModel>(c.foot, c.day[activity].activity, c.settings, MPI_COMM_SELF);
    return *finer_;
  }
  coarse_.resize(c.day.size());
  std::unique_ptr<ForefootModel> &kept = coarse_[activity];
  if (kept) {
    kept->take_foot(c.foot);
  } else {
    Settings settings = c.settings;
    settings.resolution = Resolution::coarse;
    kept = std::make_unique<ForefootModel>(c.foot, c.day[activity].activity, settings, MPI_COMM_SELF);
  }
  return *kept;
}

/// The reference first, about whose posture the others turn.
std::vector<DesignResult> FootSolver::solve_designs(const Case &c, const std::size_t activity,
                                                    ForefootModel &model) const {
  const Activity &load = c.day[activity].activity;
  const Design &reference = reference_design(c);
  model.take_instant(load, {});
  const DesignResult first = model.solve(reference);
  if (first.converged)
    model.take_instant(load, first.posture);
  std::map<std::string, DesignResult> solved = {
      {solve_key(c, activity, reference), first}}; // what is alike is solved once
  std::vector<DesignResult> results;
  for (const Design &d : c.designs) {
    const std::string key = solve_key(c, activity, d);
    if (first.converged && solved.count(key) == 0)
      solved[key] = model.solve(d);
    results.push_back(first.converged ? solved.at(key) : first);
  }
  return results;
}

FootResult FootSolver::solve(const Case &c) {
  const bool coarse = c.settings.resolution == Resolution::coarse;
  std::vector<std::vector<DesignResult>> results;
  try {
    for (std::size_t a = 0; a + 1 < c.day.size(); ++a)
      results.push_back(solve_designs(c, a, model(c, a, coarse)));
  } catch (...) {
    coarse_.clear(); // in no known state
    throw;
  }
  FootResult foot;
  foot.outputs = outputs_of(c, results, true);
  for (std::size_t law = 0; law < n_laws && results.size() > 1; ++law)
    foot.by_law.push_back(outputs_of(c, results, true, law).strain);
  if (!coarse)
    foot.mesh = {foot.outputs.strain, outputs_of(c, results, false).strain};
  return foot;
}

FootResult FootSolver::solve_worth(const Case &c,
                                   const std::function<bool(const std::vector<double> &)> &worth) {
  const std::size_t last = c.day.size() - 1;
  std::vector<double> evidence;
  try {
    ForefootModel &barefoot = model(c, last, true);
    barefoot.take_instant(c.day[last].activity, {});
    evidence = barefoot_values(barefoot.solve(reference_design(c)), c.foot);
  } catch (...) {
    coarse_.clear();
    throw;
  }
  FootResult foot;
  if (worth(evidence)) {
    foot = solve(c);
  } else {
    foot.outputs = no_outputs(c.designs.size());
    foot.only_barefoot = true;
  }
  foot.outputs.evidence = evidence;
  return foot;
}

} // namespace raybend
