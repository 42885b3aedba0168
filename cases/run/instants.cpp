// Convergence of a step's peaks over its instants.
#include "cases/run/instants.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr double least_apart = 4; // per cent of stance to the next instant beyond an end

struct Summit {
  double stance, value;
};

/// Of the parabola through three points; the middle one is the largest.
Summit summit(const CandidateInstant &a, const CandidateInstant &b, const CandidateInstant &c,
              const std::size_t q) {
  const double left = (b.watched[q] - a.watched[q]) / (b.stance - a.stance),
               right = (c.watched[q] - b.watched[q]) / (c.stance - b.stance),
               curvature = (right - left) / (c.stance - a.stance);
  if (!(curvature < 0))
    return {b.stance, b.watched[q]};
  const double slope = left + curvature * (b.stance - a.stance), away = -slope / (2 * curvature);
  return {b.stance + away, b.watched[q] + slope * away + curvature * away * away};
}

} // namespace

std::optional<std::size_t> next_instant(const std::vector<CandidateInstant> &candidates) {
  std::vector<std::size_t> solved;
  for (std::size_t i = 0; i < candidates.size(); ++i)
    if (!candidates[i].watched.empty())
      solved.push_back(i);
  if (solved.empty() || solved.size() >= most_instants)
    return {};
  const auto open_nearest = [&](const double stance, const double low, const double high) {
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < candidates.size(); ++i)
      if (candidates[i].watched.empty() && candidates[i].stance > low && candidates[i].stance < high &&
          (!best || std::abs(candidates[i].stance - stance) < std::abs(candidates[*best].stance - stance)))
        best = i;
    return best;
  };
  for (std::size_t q = 0; q < candidates[solved.front()].watched.size(); ++q) {
    std::size_t k = 0;
    for (std::size_t i = 1; i < solved.size(); ++i)
      if (candidates[solved[i]].watched[q] > candidates[solved[k]].watched[q])
        k = i;
    const CandidateInstant &peak = candidates[solved[k]];
    std::optional<std::size_t> next;
    if (k == 0)
      next = open_nearest(peak.stance - least_apart, -1, peak.stance);
    if (!next && k + 1 == solved.size())
      next = open_nearest(peak.stance + least_apart, peak.stance, 101);
    if (!next && k > 0 && k + 1 < solved.size()) {
      const CandidateInstant &before = candidates[solved[k - 1]], &after = candidates[solved[k + 1]];
      const Summit top = summit(before, peak, after, q);
      if (top.value > (1 + instants_tolerance) * peak.watched[q])
        next = open_nearest(top.stance, before.stance, after.stance);
    }
    if (next)
      return next;
  }
  return {};
}

} // namespace raybend
