// A day of several activities: how much one bone is used by all of them together.
#include "postprocess/compare/day.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

namespace raybend {

const std::array<FatigueLaw, n_laws> fatigue_laws = {{
    {5.3, "Carter 1981, load to and fro, by the total range (from memory, likely)"},
    {6.6, "Carter's data as Taylor and Edwards use them for running (from memory, likely)"},
    {10.3, "Pattin 1996, compression from zero (from memory)"},
    {14.1, "Pattin 1996, tension from zero (from memory)"},
}};

double DayInput::cycles() const {
  double sum = 0;
  for (const ReportInput &a : activities)
    sum += a.activity.cycles();
  return sum;
}

void check_day(const DayInput &input) {
  if (input.activities.empty())
    throw std::invalid_argument("a day needs at least one activity");
  const ReportInput &first = input.common();
  reference_place(first);
  for (const ReportInput &a : input.activities) {
    bool same = a.outcomes.size() == first.outcomes.size() && a.reference == first.reference &&
                a.foot.painful_ray == first.foot.painful_ray;
    for (std::size_t i = 0; same && i < first.outcomes.size(); ++i)
      same = a.outcomes[i].design.name == first.outcomes[i].design.name;
    if (!same)
      throw std::invalid_argument(
          "the activities of a day must have the same designs, reference and painful ray");
  }
  if (!(input.cycles() > 0))
    throw std::invalid_argument("a day without steps has no load cycles to add up");
}

namespace {

/// (sum n_i eps_i^m / sum n_i)^(1/m); divided by the largest strain on the way, so that no power overflows.
double power_mean(const std::vector<double> &strains, const std::vector<double> &cycles,
                  const double exponent) {
  double largest = 0, all = 0, sum = 0;
  for (std::size_t i = 0; i < strains.size(); ++i)
    if (cycles[i] > 0) {
      if (std::isnan(strains[i]))
        return strains[i];
      largest = std::max(largest, strains[i]);
    }
  if (largest == 0)
    return 0;
  for (std::size_t i = 0; i < strains.size(); ++i)
    if (cycles[i] > 0) {
      all += cycles[i];
      sum += cycles[i] * std::pow(strains[i] / largest, exponent);
    }
  return largest * std::pow(sum / all, 1 / exponent);
}

} // namespace

Banded equivalent_strain(const std::vector<Banded> &strains, const std::vector<double> &cycles,
                         const double exponent) {
  std::vector<double> middle, high, low, coarser;
  for (const Banded &s : strains) {
    middle.push_back(s.value);
    high.push_back(s.value + std::abs(s.band));
    low.push_back(std::max(0.0, s.value - std::abs(s.band)));
    coarser.push_back(s.coarser);
  }
  const double value = power_mean(middle, cycles, exponent);
  return {value,
          std::max(power_mean(high, cycles, exponent) - value, value - power_mean(low, cycles, exponent)),
          power_mean(coarser, cycles, exponent), strains.front().pair_part};
}

std::vector<double> damage_shares(const std::vector<double> &strains, const std::vector<double> &cycles,
                                  const double exponent) {
  double largest = 0;
  for (std::size_t i = 0; i < strains.size(); ++i)
    if (cycles[i] > 0)
      largest = std::max(largest, strains[i]);
  std::vector<double> shares;
  for (std::size_t i = 0; i < strains.size(); ++i)
    shares.push_back(cycles[i] > 0 && largest > 0 ? cycles[i] * std::pow(strains[i] / largest, exponent) : 0);
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  for (double &share : shares)
    share = sum > 0 ? share / sum : 0;
  return shares;
}

LifeRatio life_ratio(const Banded &reference, const Banded &strain, const double exponent) {
  const double nothing = std::numeric_limits<double>::quiet_NaN();
  if (reference.value == strain.value && reference.band == strain.band)
    return {1, 1, 1};
  if (!(reference.value > 0) || !(strain.value > 0))
    return {nothing, nothing, nothing};
  const double ratio = std::pow(reference.value / strain.value, exponent);
  if (reference.coarser > 0 && strain.coarser > 0) { // false for NaN
    const double before = std::pow(reference.coarser / strain.coarser, exponent);
    const double change = std::max({ratio / before, before / ratio, std::pow(1 + least_band, exponent)});
    return {ratio, ratio / change, ratio * change};
  }
  if (std::isfinite(reference.pair_part + strain.pair_part)) {
    const double change = std::pow(1 + std::max(reference.pair_part, strain.pair_part), exponent);
    return {ratio, ratio / change, ratio * change};
  }
  const double least = std::max(0.0, reference.value - reference.band) / (strain.value + strain.band);
  return {ratio, std::pow(least, exponent),
          strain.value > strain.band
              ? std::pow((reference.value + reference.band) / (strain.value - strain.band), exponent)
              : std::numeric_limits<double>::infinity()};
}

WorstSpot worst_spot(const std::vector<const RayResult *> &rays, const std::vector<double> &cycles,
                     const double exponent) {
  WorstSpot worst;
  std::vector<double> peaks;
  double by_peaks = 0, most = 0;
  const SpotRanges *known = nullptr;
  bool whole = true;
  for (std::size_t i = 0; i < rays.size(); ++i) {
    peaks.push_back(rays[i]->peak_strain.value);
    if (!(cycles[i] > 0))
      continue;
    by_peaks += cycles[i] * std::pow(peaks[i], exponent);
    whole &= !rays[i]->spots.range.empty() && (!known || known->range.size() == rays[i]->spots.range.size());
    known = &rays[i]->spots;
  }
  worst.ranges = peaks;
  if (!known || !whole || !(by_peaks > 0))
    return worst;
  std::size_t at = 0;
  for (std::size_t k = 0; k < known->range.size(); ++k) {
    double sum = 0;
    for (std::size_t i = 0; i < rays.size(); ++i)
      if (cycles[i] > 0)
        sum += cycles[i] * std::pow(rays[i]->spots.range[k], exponent);
    if (sum > most) {
      most = sum;
      at = k;
    }
  }
  worst.factor = std::pow(most / by_peaks, 1 / exponent);
  for (std::size_t i = 0; i < rays.size(); ++i)
    if (!rays[i]->spots.range.empty())
      worst.ranges[i] = rays[i]->spots.range[at];
  worst.fraction = known->fraction[at / SpotRanges::angles];
  worst.towards = 360.0 * (at % SpotRanges::angles) / SpotRanges::angles;
  return worst;
}

DayStrain day_strain(const DayInput &input, const std::size_t place, const bool with_support, const int ray) {
  static const RayResult none;
  DayStrain day;
  std::vector<Banded> strains;
  std::vector<const RayResult *> rays;
  std::vector<double> cycles;
  day.known = true;
  for (const ReportInput &a : input.activities) {
    const DesignOutcome &o = a.outcomes[place];
    const DesignResult &result = with_support ? o.with : o.without;
    const double n = a.activity.cycles();
    const bool counts = result.converged && !heads_hang(result);
    day.known &= counts || !(n > 0);
    cycles.push_back(n);
    rays.push_back(counts ? &result.ray[ray - 1] : &none);
    strains.push_back(rays.back()->peak_strain);
  }
  for (std::size_t l = 0; day.known && l < n_laws; ++l) {
    const double m = fatigue_laws[l].exponent;
    day.spot[l] = worst_spot(rays, cycles, m);
    day.strain[l] = equivalent_strain(strains, cycles, m);
    for (double *x : {&day.strain[l].value, &day.strain[l].band, &day.strain[l].coarser})
      *x *= day.spot[l].factor;
    day.share[l] = damage_shares(day.spot[l].ranges, cycles, m);
  }
  return day;
}

const DayDesign &DayRanking::of(const std::size_t place) const {
  for (const DayDesign &d : designs)
    if (d.place == place)
      return d;
  throw std::out_of_range("no design at place " + std::to_string(place));
}

DayRanking rank_day(const DayInput &input) {
  check_day(input);
  DayRanking ranking = rank_day_by(input, input.common().foot.painful_ray);
  if (input.common().has_chances() && input.common().sure->of_day)
    for (DayDesign &d : ranking.designs)
      if (d.with.known)
        widen_ranks(*input.common().sure, d.place, d.best_rank, d.worst_rank);
  return ranking;
}

DayRanking rank_day_by(const DayInput &input, const int painful) {
  check_day(input);
  if (painful < 1 || painful > 5)
    throw std::invalid_argument("painful ray must be 1 to 5, found " + std::to_string(painful));
  DayRanking ranking;
  std::vector<DayDesign> &list = ranking.designs;
  for (std::size_t i = 0; i < input.common().outcomes.size(); ++i) {
    DayDesign d;
    d.place = i;
    d.with = day_strain(input, i, true, painful);
    d.without = day_strain(input, i, false, painful);
    list.push_back(d);
  }
  const auto known_end =
      std::stable_partition(list.begin(), list.end(), [](const DayDesign &d) { return d.with.known; });
  const std::size_t known = known_end - list.begin();

  std::vector<double> places(input.common().outcomes.size(), 0); // of a design, summed over the exponents
  for (std::size_t l = 0; l < n_laws; ++l) {
    std::vector<Banded> strains;
    for (std::size_t i = 0; i < known; ++i)
      strains.push_back(list[i].with.strain[l]);
    const std::vector<OpenRank> ranks = open_ranks(strains);
    for (std::size_t i = 0; i < known; ++i) {
      DayDesign &d = list[i];
      d.rank[l].best = ranks[i].best;
      d.rank[l].worst = ranks[i].worst;
      for (const std::size_t other : ranks[i].not_told_apart)
        d.rank[l].not_told_apart.push_back(list[other].place);
      d.best_rank = l == 0 ? ranks[i].best : std::min(d.best_rank, ranks[i].best);
      d.worst_rank = std::max(d.worst_rank, ranks[i].worst);
      for (const Banded &other : strains)
        places[d.place] += other.value < strains[i].value;
    }
  }
  std::stable_sort(list.begin(), known_end, [&places](const DayDesign &a, const DayDesign &b) {
    return places[a.place] < places[b.place];
  });

  for (std::size_t i = 0; i < known; ++i)
    for (std::size_t k = i + 1; k < known; ++k) {
      bool better = false, worse = false, surely_better = false, surely_worse = false;
      for (std::size_t l = 0; l < n_laws; ++l) {
        const Banded &a = list[i].with.strain[l], &b = list[k].with.strain[l];
        better |= a.value < b.value;
        worse |= a.value > b.value;
        surely_better |= a.value < b.value && told_apart(a, b);
        surely_worse |= a.value > b.value && told_apart(a, b);
      }
      const bool first = list[i].with.strain[0].value < list[k].with.strain[0].value;
      if (better && worse)
        ranking.crossings.push_back({first ? list[i].place : list[k].place,
                                     first ? list[k].place : list[i].place, surely_better && surely_worse});
    }
  return ranking;
}

} // namespace raybend
