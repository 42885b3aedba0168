#include "postprocess/ranking.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace raybend {

std::size_t reference_place(const ReportInput &input) {
  if (input.outcomes.empty())
    throw std::invalid_argument("a report needs at least one design");
  if (input.reference.empty())
    return 0;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (input.outcomes[i].design.name == input.reference)
      return i;
  throw std::invalid_argument("no design is called \"" + input.reference + "\" (the reference)");
}

namespace {
constexpr double least_band = 0.005; // of a value: two meshes can agree by chance (assumed)
bool paired(const Banded &a, const Banded &b) {
  return std::isfinite(a.coarser) && std::isfinite(b.coarser);
}
} // namespace

Banded percent_change(const Banded &a, const Banded &b) {
  if (b.value == 0)
    return {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN()};
  const double ratio = a.value / b.value;
  if (paired(a, b) && b.coarser != 0) {
    const double percent = 100 * (ratio - 1), before = 100 * (a.coarser / b.coarser - 1);
    return {percent, std::max(std::abs(percent - before), 100 * least_band), before};
  }
  return {100 * (ratio - 1), 100 * (std::abs(a.band) + std::abs(ratio * b.band)) / std::abs(b.value)};
}

bool told_apart(const Banded &a, const Banded &b) {
  if (paired(a, b)) {
    const double now = a.value - b.value, before = a.coarser - b.coarser;
    return std::abs(now) > std::max(std::abs(now - before), least_band * std::abs(a.value));
  }
  return std::abs(a.value - b.value) > std::abs(a.band) + std::abs(b.band);
}

Banded peak_strain(const RayResult &ray) {
  const double dorsal = std::abs(ray.peak_dorsal.value), plantar = std::abs(ray.peak_plantar.value);
  const double dorsal_band = std::abs(ray.peak_dorsal.band), plantar_band = std::abs(ray.peak_plantar.band);
  const double value = std::max(dorsal, plantar);
  const double high = std::max(dorsal + dorsal_band, plantar + plantar_band);
  const double low = std::max(dorsal - dorsal_band, plantar - plantar_band);
  return {value, std::max(high - value, value - low),
          std::max(std::abs(ray.peak_dorsal.coarser), std::abs(ray.peak_plantar.coarser))};
}

namespace {

void note_rise(std::vector<LoadShift> &shifts, LoadKind kind, int ray, const Banded &before,
               const Banded &after, double at_least) {
  const double percent = percent_change(after, before).value;
  // A place that carried nothing before has no percentage: `at_least` says from which value on it counts.
  const bool rises = std::isnan(percent) ? after.value > at_least : percent > notable_rise_percent;
  if (rises && after.value > at_least)
    shifts.push_back({kind, ray, before.value, after.value, percent, told_apart(before, after)});
}

Difference difference(const DesignResult &now, const DesignResult &before, int painful) {
  const RayResult &ray_now = now.ray[painful - 1], &ray_before = before.ray[painful - 1];
  Difference d;
  d.percent = percent_change(peak_strain(ray_now), peak_strain(ray_before));
  d.told_apart = told_apart(peak_strain(ray_now), peak_strain(ray_before));
  for (int r = 1; r <= 5; ++r)
    if (r != painful)
      note_rise(d.shifts, LoadKind::ray_strain, r, peak_strain(before.ray[r - 1]),
                peak_strain(now.ray[r - 1]), 0);
  constexpr double felt_kpa = 5; // below this a rise is of no interest, however large in percent
  for (int r = 1; r <= 5; ++r)
    note_rise(d.shifts, LoadKind::head_pressure, r, before.ray[r - 1].head_peak_pressure,
              now.ray[r - 1].head_peak_pressure, felt_kpa);
  for (int r = 1; r <= 5; ++r)
    note_rise(d.shifts, LoadKind::shaft_pressure, r, {before.ray[r - 1].shaft_peak_pressure, 0},
              {now.ray[r - 1].shaft_peak_pressure, 0}, felt_kpa);
  return d;
}

} // namespace

std::vector<RankedDesign> rank_designs(const ReportInput &input) {
  const std::size_t reference = reference_place(input);
  const int painful = input.foot.painful_ray;
  if (painful < 1 || painful > 5)
    throw std::invalid_argument("painful ray must be 1 to 5, found " + std::to_string(painful));

  const DesignResult &reference_result = input.outcomes[reference].with;
  std::vector<RankedDesign> list;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    const DesignOutcome &outcome = input.outcomes[i];
    RankedDesign d;
    d.place = i;
    d.ranked = outcome.with.converged;
    if (d.ranked) {
      d.strain = peak_strain(outcome.with.ray[painful - 1]);
      if (i != reference && reference_result.converged)
        d.from_reference = difference(outcome.with, reference_result, painful);
      if (outcome.has_support() && outcome.without.converged)
        d.from_unsupported = difference(outcome.with, outcome.without, painful);
    }
    list.push_back(d);
  }
  std::stable_sort(list.begin(), list.end(), [](const RankedDesign &a, const RankedDesign &b) {
    return a.ranked != b.ranked ? a.ranked : a.ranked && a.strain.value < b.strain.value;
  });

  for (RankedDesign &d : list) {
    if (!d.ranked)
      continue;
    d.best_rank = d.worst_rank = 1;
    for (const RankedDesign &other : list) {
      if (!other.ranked || other.place == d.place)
        continue;
      const bool apart = told_apart(d.strain, other.strain);
      if (!apart)
        d.not_told_apart.push_back(other.place);
      const bool better = other.strain.value < d.strain.value;
      d.best_rank += apart && better;
      d.worst_rank += !apart || better;
    }
  }
  return list;
}

} // namespace raybend
