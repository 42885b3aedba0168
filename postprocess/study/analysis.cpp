// What a study's numbers say about each input.
#include "postprocess/study/analysis.hpp"
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>

namespace raybend {

namespace {

constexpr int curve_points = 21, parts = 10;

double x_of(const StudyData &data, const StudySeries &s, const std::size_t k, const std::size_t input) {
  return data.points[s.point[k]][input];
}

/// Values by the input's level.
std::map<double, std::vector<std::size_t>> by_level(const StudyData &data, const StudySeries &s,
                                                    const std::size_t input) {
  std::map<double, std::vector<std::size_t>> levels;
  for (std::size_t k = 0; k < s.value.size(); ++k)
    levels[x_of(data, s, k, input)].push_back(k);
  return levels;
}

double mean_of(const StudySeries &s, const std::vector<std::size_t> &places) {
  double sum = 0;
  for (const std::size_t k : places)
    sum += s.value[k];
  return sum / places.size();
}

CurvePoint with_mesh_band(const StudySeries &s, const double x, const std::size_t k) {
  const double band = std::isfinite(s.band[k]) ? s.band[k] : 0;
  return {x, s.value[k], s.value[k] - band, s.value[k] + band};
}

ResponseCurve grid_curve(const StudyData &data, const std::size_t i, const std::size_t input) {
  const StudySeries &s = data.series[i];
  const bool alone = data.inputs.size() == 1;
  ResponseCurve curve{
      i, input, {}, alone ? "discretisation band" : "least and largest over the other inputs"};
  for (const auto &[x, places] : by_level(data, s, input)) {
    if (alone) {
      curve.points.push_back(with_mesh_band(s, x, places.front()));
      continue;
    }
    CurvePoint p{x, mean_of(s, places), INFINITY, -INFINITY};
    for (const std::size_t k : places) {
      p.low = std::min(p.low, s.value[k]);
      p.high = std::max(p.high, s.value[k]);
    }
    curve.points.push_back(p);
  }
  return curve;
}

ResponseCurve single_curve(const StudyData &data, const std::size_t i, const std::size_t input) {
  const StudySeries &s = data.series[i];
  ResponseCurve curve{i, input, {}, "discretisation band"};
  std::map<double, std::size_t> at; // points where the others are at their base
  for (std::size_t k = 0; k < s.value.size(); ++k) {
    bool alone = true;
    for (std::size_t j = 0; j < data.inputs.size(); ++j)
      alone &= j == input || x_of(data, s, k, j) == data.points.front()[j];
    if (alone)
      at[x_of(data, s, k, input)] = k;
  }
  for (const auto &[x, k] : at)
    curve.points.push_back(with_mesh_band(s, x, k));
  return curve;
}

/// Means of parts of a sample.
ResponseCurve part_curve(const StudyData &data, const std::size_t i, const std::size_t input) {
  const StudySeries &s = data.series[i];
  ResponseCurve curve{i, input, {}, "middle eight tenths of the points there"};
  std::vector<std::size_t> order(s.value.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return x_of(data, s, a, input) < x_of(data, s, b, input);
  });
  std::vector<std::vector<std::size_t>> groups;
  if (data.inputs[input].list)
    for (const auto &[x, places] : by_level(data, s, input))
      groups.push_back(places);
  else
    for (int g = 0; g < parts; ++g)
      groups.push_back(
          {order.begin() + g * order.size() / parts, order.begin() + (g + 1) * order.size() / parts});
  for (const auto &places : groups) {
    if (places.empty())
      continue;
    std::vector<double> values;
    double x = 0;
    for (const std::size_t k : places) {
      values.push_back(s.value[k]);
      x += x_of(data, s, k, input) / places.size();
    }
    std::sort(values.begin(), values.end());
    const auto at = [&](double u) { return values[std::lround(u * (values.size() - 1))]; };
    curve.points.push_back({x, mean_of(s, places), at(0.1), at(0.9)});
  }
  return curve;
}

ResponseCurve surrogate_curve(const StudyData &data, const std::size_t i, const std::size_t input,
                              const Surrogate &surrogate) {
  std::vector<double> levels = data.inputs[input].measure;
  std::sort(levels.begin(), levels.end());
  levels.erase(std::unique(levels.begin(), levels.end()), levels.end());
  if (!data.inputs[input].list) {
    std::vector<double> few;
    for (int k = 0; k < curve_points; ++k)
      few.push_back(levels[std::lround((0.01 + 0.98 * k / (curve_points - 1)) * (levels.size() - 1))]);
    levels = few;
  }
  const double missed = std::sqrt(surrogate.indices().error) * surrogate.indices().deviation;
  ResponseCurve curve{i, input, {}, "standard deviation of what the surrogate misses"};
  for (const double x : levels) {
    const double y = surrogate.main_effect(input, x);
    curve.points.push_back({x, y, y - missed, y + missed});
  }
  return curve;
}

/// The first two inputs of a grid.
std::optional<HeatMap> heat_map(const StudyData &data, const std::size_t i) {
  if (data.plan != StudyPlan::grid || data.inputs.size() < 2)
    return {};
  const StudySeries &s = data.series[i];
  HeatMap map{i, 0, 1, {}, {}, {}};
  std::map<std::pair<double, double>, std::vector<std::size_t>> at;
  for (std::size_t k = 0; k < s.value.size(); ++k)
    at[{x_of(data, s, k, 0), x_of(data, s, k, 1)}].push_back(k);
  for (const auto &[x, places] : by_level(data, s, 0))
    map.x.push_back(x);
  for (const auto &[y, places] : by_level(data, s, 1))
    map.y.push_back(y);
  for (const double y : map.y)
    for (const double x : map.x) {
      const auto it = at.find({x, y});
      map.value.push_back(it == at.end() ? std::nan("") : mean_of(s, it->second));
    }
  return map;
}

Tornado tornado_of(const StudyData &data, const std::size_t i, const std::vector<ResponseCurve> &curves) {
  const StudySeries &s = data.series[i];
  Tornado t;
  t.series = i;
  t.middle = std::accumulate(s.value.begin(), s.value.end(), 0.0) / s.value.size();
  if (data.plan == StudyPlan::one_at_a_time)
    for (std::size_t k = 0; k < s.point.size(); ++k)
      if (s.point[k] == 0)
        t.middle = s.value[k];
  for (const ResponseCurve &c : curves) {
    if (c.series != i || c.points.empty())
      continue;
    const auto less = [](const CurvePoint &a, const CurvePoint &b) { return a.y < b.y; };
    const auto [low, high] = std::minmax_element(c.points.begin(), c.points.end(), less);
    t.swings.push_back({c.input, low->x, high->x, low->y, high->y});
  }
  std::stable_sort(t.swings.begin(), t.swings.end(),
                   [](const Swing &a, const Swing &b) { return a.high - a.low > b.high - b.low; });
  return t;
}

} // namespace

bool is_constant(const StudySeries &s) {
  const auto [low, high] = std::minmax_element(s.value.begin(), s.value.end());
  return s.value.empty() || *high - *low <= 2 * least_change * std::max(std::abs(*low), std::abs(*high));
}

StudyAnalysis analyse(const StudyData &data, const std::function<void(const std::string &)> &progress) {
  StudyAnalysis out;
  out.indices.resize(data.series.size());
  std::vector<InputMeasure> measures;
  bool varied = true;
  for (const StudyInput &input : data.inputs) {
    measures.push_back(input.measure);
    varied &= *std::min_element(input.measure.begin(), input.measure.end()) <
              *std::max_element(input.measure.begin(), input.measure.end());
  }
  for (std::size_t i = 0; i < data.series.size(); ++i) {
    const StudySeries &s = data.series[i];
    if (s.value.empty())
      continue;
    std::optional<Surrogate> surrogate;
    if (data.plan != StudyPlan::one_at_a_time && data.inputs.size() > 1 && varied && !data.correlated) {
      progress("surrogate of " + s.design + ", " + s.output);
      std::vector<std::vector<double>> points;
      for (const std::size_t p : s.point)
        points.push_back(data.points[p]);
      surrogate.emplace(points, s.value, measures);
      out.indices[i] = surrogate->indices();
    } else if (data.plan == StudyPlan::sample && data.correlated) {
      out.indices[i].why_not = "the inputs are correlated: their parts of the variance cannot be told apart";
    }
    for (std::size_t j = 0; j < data.inputs.size(); ++j)
      out.curves.push_back(data.plan == StudyPlan::grid             ? grid_curve(data, i, j)
                           : data.plan == StudyPlan::one_at_a_time  ? single_curve(data, i, j)
                           : surrogate && surrogate->indices().hold ? surrogate_curve(data, i, j, *surrogate)
                                                                    : part_curve(data, i, j));
    if (is_constant(s))
      continue;
    if (auto map = heat_map(data, i))
      out.maps.push_back(*map);
    if (data.inputs.size() > 1)
      out.tornados.push_back(tornado_of(data, i, out.curves));
  }
  return out;
}

} // namespace raybend
