// Aim, caps and pressure of a design over activities and draws.
#include "cases/best/best_values.hpp"
#include "cases/study/run_units.hpp"
#include "cases/words/words.hpp"
#include "postprocess/compare/day.hpp"
#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>

namespace raybend {

namespace {
constexpr std::size_t strain_column = 0, pressure_column = 1, head_column = 2, shaft_column = 3,
                      first_cap = 4;
constexpr double unbounded = 10; ///< use of a cap whose reference bears nothing
} // namespace

double over_draws(std::vector<double> values, const Doubt doubt) {
  if (values.empty())
    throw std::invalid_argument("no draws");
  if (doubt != Doubt::percentile_80)
    return std::accumulate(values.begin(), values.end(), 0.0) / values.size();
  std::sort(values.begin(), values.end());
  const double at = 0.8 * (values.size() - 1);
  const std::size_t low = std::floor(at), high = std::min(low + 1, values.size() - 1);
  return values[low] + (at - low) * (values[high] - values[low]);
}

std::vector<std::string> use_labels(const Best &best) {
  std::vector<std::string> labels;
  for (const Cap &cap : best.caps)
    for (const int ray : cap.rays)
      labels.push_back(cap_words(cap, ray));
  labels.push_back("heads bear at least " + number_text(100 * least_head_share) + " % (less: they hang)");
  return labels;
}

BestValues::BestValues(const Best &best, StudyStore &store)
    : best_(best), columns_{"peak_strain_ue", "head_pressure_peak_kpa", "head_force_n", "shaft_force_n"} {
  for (const Cap &cap : best.caps)
    columns_.push_back(cap.output);
  for (int ray = 1; ray <= 5; ++ray)
    for (const StudyStore::Value &v : store.values(ray, columns_))
      runs_[v.run][ray - 1] = v.outputs;
  for (const auto &[run, why] : store.reasons(10000))
    reasons_[run] = why;
}

DesignValues BestValues::of(const std::size_t number, const std::string &design) const {
  DesignValues found;
  const std::size_t painful = best_.base.foot.painful_ray - 1;
  std::array<std::vector<double>, n_laws> aims;
  std::vector<std::vector<double>> use(use_labels(best_).size());
  std::vector<double> other;
  std::array<std::vector<double>, 5> strain, pressure;
  for (std::size_t draw = 0; draw < best_.draws; ++draw) {
    std::vector<Banded> strains;
    std::vector<double> cycles, used(use.size(), 0);
    std::array<double, 5> most_strain{}, most_pressure{};
    for (const DayActivity &activity : best_.base.day) {
      const RunName name{number * best_.draws + draw + 1, activity_name(activity), design};
      const auto run = runs_.find(name);
      const auto beside = runs_.find({draw + 1, name.activity, best_.base.reference});
      if (run == runs_.end() || beside == runs_.end()) {
        const auto why = reasons_.find(name),
                   of_reference = reasons_.find({draw + 1, name.activity, best_.base.reference});
        found.why_not = why != reasons_.end()            ? why->second
                        : of_reference != reasons_.end() ? "the reference: " + of_reference->second
                                                         : "not solved yet";
        return found;
      }
      const Rays &rays = run->second;
      strains.push_back({rays[painful][strain_column], 0});
      cycles.push_back(activity.cycles());
      double heads = 0, shafts = 0;
      for (std::size_t r = 0; r < 5; ++r) {
        most_strain[r] = std::max(most_strain[r], rays[r][strain_column]);
        most_pressure[r] = std::max(most_pressure[r], rays[r][pressure_column]);
        heads += rays[r][head_column];
        shafts += rays[r][shaft_column];
      }
      std::size_t k = 0;
      for (std::size_t c = 0; c < best_.caps.size(); ++c)
        for (const int ray : best_.caps[c].rays) {
          const Cap &cap = best_.caps[c];
          const double value = std::abs(rays[ray - 1][first_cap + c]),
                       reference = std::abs(beside->second[ray - 1][first_cap + c]),
                       limit = cap.at_most ? *cap.at_most : reference * (1 + *cap.over_reference_pct / 100);
          used[k] = std::max(used[k], limit > 0 ? value / limit : value > 0 ? unbounded : 0);
          ++k;
        }
      if (!(heads + shafts > 0)) {
        found.why_not = "nothing under the foot bears a load";
        return found;
      }
      used[k] = std::max(used[k], (1 - heads / (heads + shafts)) / (1 - least_head_share));
    }
    for (std::size_t l = 0; l < n_laws; ++l)
      aims[l].push_back(best_.is_day() ? equivalent_strain(strains, cycles, fatigue_laws[l].exponent).value
                                       : strains.front().value);
    for (std::size_t k = 0; k < used.size(); ++k)
      use[k].push_back(used[k]);
    double worst = 0;
    for (std::size_t r = 0; r < 5; ++r) {
      strain[r].push_back(most_strain[r]);
      pressure[r].push_back(most_pressure[r]);
      if (r != painful)
        worst = std::max(worst, most_pressure[r]);
    }
    other.push_back(worst);
  }
  found.solved = true;
  for (std::size_t l = 0; l < n_laws; ++l)
    found.aims[l] = over_draws(aims[l], best_.doubt);
  for (std::size_t k = 0; k + 1 < use.size(); ++k)
    found.use.push_back(over_draws(use[k], best_.doubt));
  found.use.push_back(*std::max_element(use.back().begin(), use.back().end())); // at no draw may they hang
  found.other_pressure = over_draws(other, best_.doubt);
  for (std::size_t r = 0; r < 5; ++r) {
    found.strain[r] = over_draws(strain[r], best_.doubt);
    found.pressure[r] = over_draws(pressure[r], best_.doubt);
  }
  return found;
}

} // namespace raybend
