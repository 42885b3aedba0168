// Ranges about the optimum along each input; the Pareto front.
#include "postprocess/best/flat.hpp"
#include <algorithm>
#include <cmath>
#include <numeric>

namespace raybend {

namespace {

constexpr int curve_points = 400;

/// From the best design towards one limit: the last value that still counts, and what ends it.
double walk(const BestProblem &problem, const BestModels &models, std::vector<double> x, const std::size_t j,
            const double to, const double most_aim, FlatRange::End &end, std::size_t &cap) {
  const double from = x[j];
  double good = from;
  const auto broken = [&](const double t) {
    x[j] = from + t * (to - from);
    if (models.aim->value(x) > most_aim) {
      end = FlatRange::End::aim;
      return true;
    }
    for (std::size_t c = 0; c < models.use.size(); ++c)
      if (models.use[c].value(x) > 1 + cap_slack) {
        end = FlatRange::End::cap;
        cap = c;
        return true;
      }
    return false;
  };
  end = FlatRange::End::limit;
  for (int i = 1; i <= curve_points; ++i) {
    double low = double(i - 1) / curve_points, high = double(i) / curve_points;
    if (!broken(high)) {
      good = from + high * (to - from);
      continue;
    }
    for (int halved = 0; halved < 30; ++halved) {
      const double middle = (low + high) / 2;
      (broken(middle) ? high : low) = middle;
    }
    broken(high); // says what ends it
    good = from + low * (to - from);
    break;
  }
  return std::clamp(good, problem.inputs[j].low, problem.inputs[j].high);
}

} // namespace

std::vector<FlatRange> flat_ranges(const BestProblem &problem, const BestModels &models,
                                   const std::vector<Candidate> &candidates, const std::size_t best) {
  std::vector<FlatRange> list;
  const std::vector<double> &at = candidates[best].x;
  const double aim = models.aim->value(at);
  for (std::size_t j = 0; j < problem.inputs.size(); ++j) {
    const BestInput &input = problem.inputs[j];
    if (!input.between_limits())
      continue;
    FlatRange range;
    range.input = j;
    const double most = aim + problem.tolerance * std::abs(aim);
    range.low = walk(problem, models, at, j, input.low, most, range.low_end, range.low_cap);
    range.high = walk(problem, models, at, j, input.high, most, range.high_end, range.high_cap);
    std::vector<double> x = at;
    for (int i = 0; i <= curve_points; i += 4) {
      x[j] = input.low + (input.high - input.low) * i / curve_points;
      range.curve.push_back({x[j], models.aim->value(x), models.largest_use(x)});
    }
    for (std::size_t c = 0; c < candidates.size(); ++c) {
      x = candidates[c].x;
      x[j] = at[j];
      if (candidates[c].solved && x == at)
        range.solved.push_back(c);
    }
    std::sort(range.solved.begin(), range.solved.end(),
              [&](std::size_t a, std::size_t b) { return candidates[a].x[j] < candidates[b].x[j]; });
    list.push_back(range);
  }
  return list;
}

std::vector<std::size_t> pareto_front(const std::vector<std::pair<double, double>> &pairs) {
  std::vector<std::size_t> order, front;
  for (std::size_t i = 0; i < pairs.size(); ++i)
    if (std::isfinite(pairs[i].first) && std::isfinite(pairs[i].second))
      order.push_back(i);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return pairs[a] < pairs[b]; });
  double least = INFINITY;
  for (const std::size_t i : order)
    if (pairs[i].second < least) {
      least = pairs[i].second;
      front.push_back(i);
    }
  return front;
}

} // namespace raybend
