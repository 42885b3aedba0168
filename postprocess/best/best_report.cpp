// Ranges, map and front from the surrogate and the solved points.
#include "postprocess/best/best_report.hpp"
#include "postprocess/study/study_words.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <cmath>

namespace raybend {

namespace {

constexpr int map_cells = 36, front_draws = 4000;

bool ends_with(const std::string &text, const std::string &end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

std::optional<BestMap> map_of(const BestProblem &problem, const BestModels &models,
                              const std::vector<double> &at) {
  std::vector<std::size_t> free;
  for (std::size_t j = 0; j < problem.inputs.size(); ++j)
    if (problem.inputs[j].between_limits())
      free.push_back(j);
  if (free.size() < 2)
    return {};
  const auto first = [&](const std::string &name) { // place, then height, then the others
    std::stable_partition(free.begin(), free.end(),
                          [&](std::size_t j) { return ends_with(problem.inputs[j].name, name); });
  };
  first("height_mm");
  first("behind_heads_mm");
  BestMap map;
  map.x_input = free[0];
  map.y_input = free[1];
  const auto cells = [](const BestInput &input) {
    std::vector<double> list;
    for (int i = 0; i < map_cells; ++i)
      list.push_back(input.low + (input.high - input.low) * (i + 0.5) / map_cells);
    return list;
  };
  map.x = cells(problem.inputs[map.x_input]);
  map.y = cells(problem.inputs[map.y_input]);
  std::vector<double> x = at;
  for (const double v : map.y)
    for (const double u : map.x) {
      x[map.x_input] = u;
      x[map.y_input] = v;
      map.aim.push_back(models.aim->value(x));
      map.use.push_back(models.largest_use(x));
    }
  return map;
}

} // namespace

BestAnalysis analyse_best(const BestProblem &problem, const BestSearch &search) {
  BestAnalysis a;
  a.shown = search.best ? search.best : search.nearest;
  if (!a.shown)
    return a;
  if (search.best)
    a.flat = flat_ranges(problem, search.models, search.candidates, *search.best);
  a.map = map_of(problem, search.models, search.candidates[*a.shown].x);
  std::vector<std::pair<double, double>> pairs;
  for (const Candidate &c : search.candidates) {
    const bool counts = search.best ? c.within() : c.solved && c.use.back() <= 1;
    pairs.push_back(counts ? std::pair(c.aim, c.pressure)
                           : std::pair(Candidate::unknown, Candidate::unknown));
  }
  a.front = pareto_front(pairs);
  std::vector<std::vector<double>> points;
  std::vector<double> values;
  for (const Candidate &c : search.candidates)
    if (c.solved) {
      points.push_back(c.x);
      values.push_back(c.aim);
    }
  a.missed = missed_when_left_out(points, values, problem.inputs);
  boost::random::mt19937_64 engine(problem.seed);
  boost::random::uniform_01<double> any;
  pairs.clear();
  for (int i = 0; i < front_draws; ++i) {
    std::vector<double> x;
    for (const BestInput &input : problem.inputs)
      x.push_back(input.list ? input.measure[std::size_t(any(engine) * input.measure.size())]
                             : input.low + any(engine) * (input.high - input.low));
    if ((search.best ? search.models.largest_use(x) : search.models.use.back().value(x)) <= 1)
      pairs.push_back({search.models.aim->value(x), search.models.pressure->value(x)});
  }
  for (const std::size_t i : pareto_front(pairs))
    a.foretold_front.push_back({pairs[i].first, pairs[i].second});
  return a;
}

std::string name_words(const BestInput &input) {
  const std::string words = spoken_name(input.name);
  return words.substr(0, words.find(", "));
}

std::string value_words(const BestInput &input, const double value) {
  const std::string words = spoken_name(input.name);
  const std::size_t unit = words.find(", ");
  return input_value(input, value) + (unit == std::string::npos ? "" : " " + words.substr(unit + 2));
}

std::string place_words(const std::vector<BestInput> &inputs, const std::vector<double> &x) {
  std::vector<std::string> parts;
  for (std::size_t j = 0; j < inputs.size(); ++j)
    parts.push_back(name_words(inputs[j]) + " " + value_words(inputs[j], x[j]));
  return list_of(parts);
}

} // namespace raybend
