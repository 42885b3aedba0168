// Which design leaves least strain in the painful ray, what is certain about the order, and where the load went.
#include "postprocess/compare/ranking.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace raybend {

namespace {
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
  if (const double part = std::max(a.pair_part, b.pair_part); std::isfinite(a.pair_part + b.pair_part))
    return {100 * (ratio - 1), 100 * part * std::abs(ratio)};
  return {100 * (ratio - 1), 100 * (std::abs(a.band) + std::abs(b.band)) / std::abs(b.value)};
}

bool told_apart(const Banded &a, const Banded &b) {
  if (paired(a, b)) {
    const double now = a.value - b.value, before = a.coarser - b.coarser;
    return std::abs(now) >
           std::max(std::abs(now - before), least_band * std::max(std::abs(a.value), std::abs(b.value)));
  }
  if (std::isfinite(a.pair_part + b.pair_part)) // either way round alike
    return std::abs(a.value - b.value) >
           std::max(a.pair_part, b.pair_part) * std::min(std::abs(a.value), std::abs(b.value));
  return std::abs(a.value - b.value) > std::abs(a.band) + std::abs(b.band);
}

std::vector<OpenRank> open_ranks(const std::vector<Banded> &values) {
  std::vector<OpenRank> ranks(values.size());
  for (std::size_t i = 0; i < values.size(); ++i)
    for (std::size_t other = 0; other < values.size(); ++other) {
      if (other == i)
        continue;
      const bool apart = told_apart(values[i], values[other]);
      if (!apart)
        ranks[i].not_told_apart.push_back(other);
      const bool better = values[other].value < values[i].value;
      ranks[i].best += apart && better;
      ranks[i].worst += !apart || better;
    }
  return ranks;
}

namespace {

/// One place before and after; below `least` a value is of no interest, however large its change in percent.
struct Place {
  LoadKind kind;
  int ray;
  Banded before, after;
  double least;
  bool has_band = true;
};

void note_change(Difference &d, const Place &p) {
  const double percent = percent_change(p.after, p.before).value;
  LoadShift shift{p.kind, p.ray, p.before.value, p.after.value, percent, {}};
  if (p.has_band)
    shift.beyond_band = told_apart(p.before, p.after);
  // A place that carried nothing before has no percentage: `least` says from which value on it counts.
  if ((std::isnan(percent) || percent > notable_change_percent) && p.after.value > p.least)
    d.shifts.push_back(shift);
  if (percent < -notable_change_percent && p.before.value > p.least)
    d.reliefs.push_back(shift);
}

Difference difference(const DesignResult &now, const DesignResult &before, int painful) {
  const RayResult &ray_now = now.ray[painful - 1], &ray_before = before.ray[painful - 1];
  Difference d;
  d.percent = percent_change(ray_now.peak_strain, ray_before.peak_strain);
  d.told_apart = told_apart(ray_now.peak_strain, ray_before.peak_strain);
  const auto each_ray = [&](LoadKind kind, double least, Banded (*value)(const RayResult &)) {
    for (int r = 1; r <= 5; ++r)
      if (kind != LoadKind::ray_strain || r != painful)
        note_change(d, {kind, r, value(before.ray[r - 1]), value(now.ray[r - 1]), least,
                        kind != LoadKind::shaft_force});
  };
  each_ray(LoadKind::ray_strain, 0, [](const RayResult &r) { return r.peak_strain; });
  each_ray(LoadKind::head_force, felt_force, [](const RayResult &r) { return r.head_force; });
  each_ray(LoadKind::head_pressure, felt_pressure, [](const RayResult &r) { return r.head_peak_pressure; });
  // A shaft's pressure falls when its contact spreads, though it carries more.
  each_ray(LoadKind::shaft_force, felt_force, [](const RayResult &r) { return Banded{r.shaft_force}; });
  each_ray(LoadKind::shaft_pressure, felt_pressure, [](const RayResult &r) { return r.shaft_peak_pressure; });
  // The great toe stands for all, which change by like parts.
  note_change(d,
              {LoadKind::toe_force, 1, {before.ray[0].toe_load}, {now.ray[0].toe_load}, felt_force, false});
  return d;
}

} // namespace

BorneForce borne_force(const DesignResult &result) {
  BorneForce sum;
  for (const RayResult &ray : result.ray) {
    sum.heads += ray.head_force.value;
    sum.shafts += ray.shaft_force;
  }
  return sum;
}

bool heads_hang(const DesignResult &result) {
  const BorneForce borne = borne_force(result);
  return borne.heads < least_head_share * (borne.heads + borne.shafts);
}

void widen_ranks(const Sureness &sure, const std::size_t place, int &best, int &worst) {
  double sum = 0;
  for (std::size_t r = 0; r < sure.rank[place].size(); ++r) {
    const double before = sum;
    sum += sure.rank[place][r];
    if (before < 0.05 && sum >= 0.05)
      best = std::min(best, static_cast<int>(r) + 1);
    if (before < 0.95 && sum >= 0.95)
      worst = std::max(worst, static_cast<int>(r) + 1);
  }
}

std::optional<std::array<double, 2>> whole_doubt(const ReportInput &input, const std::size_t place,
                                                 const double reference) {
  const std::size_t at = reference_place(input);
  if (place == at || !input.has_chances() || !std::isfinite(reference) ||
      std::count(input.sure->order.begin(), input.sure->order.end(), place) == 0)
    return {};
  const PairChance p = input.sure->pair(place, at);
  return std::array<double, 2>{reference * (1 + p.low / 100), reference * (1 + p.high / 100)};
}

std::vector<RankedDesign> rank_designs(const ReportInput &input) {
  std::vector<RankedDesign> list = rank_designs_by(input, input.foot.painful_ray);
  if (input.has_chances() && !input.sure->of_day)
    for (RankedDesign &d : list)
      if (d.ranked)
        widen_ranks(*input.sure, d.place, d.best_rank, d.worst_rank);
  return list;
}

std::vector<RankedDesign> rank_designs_by(const ReportInput &input, const int painful) {
  const std::size_t reference = reference_place(input);
  if (painful < 1 || painful > 5)
    throw std::invalid_argument("painful ray must be 1 to 5, found " + std::to_string(painful));

  const DesignResult &reference_result = input.outcomes[reference].with;
  std::vector<RankedDesign> list;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    const DesignOutcome &outcome = input.outcomes[i];
    RankedDesign d;
    d.place = i;
    d.why_not = !outcome.with.converged ? "not converged" : heads_hang(outcome.with) ? "heads hang" : "";
    d.ranked = d.why_not.empty();
    if (outcome.with.converged) {
      d.strain = outcome.with.ray[painful - 1].peak_strain;
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

  std::vector<Banded> strains; // of those that are ranked: they come first
  for (const RankedDesign &d : list)
    if (d.ranked)
      strains.push_back(d.strain);
  const std::vector<OpenRank> ranks = open_ranks(strains);
  for (std::size_t i = 0; i < ranks.size(); ++i) {
    list[i].best_rank = ranks[i].best;
    list[i].worst_rank = ranks[i].worst;
    for (std::size_t other : ranks[i].not_told_apart)
      list[i].not_told_apart.push_back(list[other].place);
  }
  return list;
}

} // namespace raybend
