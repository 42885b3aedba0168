// Grids and samples.
#include "cases/study/plan/plan.hpp"
#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/sobol.hpp>
#include <boost/random/uniform_01.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <stdexcept>

namespace raybend {

const std::vector<std::string> &plan_names() {
  static const std::vector<std::string> names = {"grid", "one-at-a-time", "latin-hypercube", "sobol"};
  return names;
}

std::vector<std::string> sets_of(const Study &study, const StudyPoint &point) {
  std::vector<std::string> sets = study.sets;
  for (std::size_t i = 0; i < point.size(); ++i)
    for (const std::string &key : study.inputs[i].keys)
      sets.push_back(key + "=" + study.inputs[i].marginal.text(point[i]));
  return sets;
}

Matrix latin_hypercube(const std::size_t points, const std::size_t inputs, const std::uint64_t seed) {
  boost::random::mt19937_64 engine(seed);
  boost::random::uniform_01<double> within;
  Matrix sample(points, std::vector<double>(inputs));
  std::vector<std::size_t> part(points);
  for (std::size_t j = 0; j < inputs; ++j) {
    for (std::size_t i = 0; i < points; ++i)
      part[i] = i;
    for (std::size_t i = points; i-- > 1;)
      std::swap(part[i], part[boost::random::uniform_int_distribution<std::size_t>(0, i)(engine)]);
    for (std::size_t i = 0; i < points; ++i)
      sample[i][j] = (part[i] + within(engine)) / points;
  }
  return sample;
}

Matrix sobol_points(const std::size_t points, const std::size_t inputs, const std::uint64_t seed) {
  boost::random::sobol engine(inputs);
  const double scale = std::ldexp(1.0, -64); // the engine gives 64 bits
  boost::random::mt19937_64 random(seed);
  boost::random::uniform_01<double> within;
  std::vector<double> shift(inputs, 0);
  if (seed != 0)
    for (double &s : shift)
      s = within(random);
  Matrix sample(points, std::vector<double>(inputs));
  for (std::vector<double> &row : sample)
    for (std::size_t j = 0; j < inputs; ++j) {
      const double x = engine() * scale + shift[j];
      row[j] = x - std::floor(x);
    }
  return sample;
}

double count_points(const Study &study) {
  if (study.plan == PlanKind::latin_hypercube || study.plan == PlanKind::sobol)
    return study.points;
  double grid = 1, single = 1;
  for (const Varied &input : study.inputs) {
    const double n = input.marginal.is_list() ? input.marginal.values.size() : 2;
    grid *= n;
    single += n;
  }
  return study.plan == PlanKind::grid ? grid : single;
}

namespace {

std::vector<StudyPoint> grid_points(const Study &study) {
  std::vector<StudyPoint> points = {{}};
  for (const Varied &input : study.inputs) {
    std::vector<StudyPoint> longer;
    for (const StudyPoint &p : points)
      for (const double value : input.marginal.values) {
        longer.push_back(p);
        longer.back().push_back(value);
      }
    points = longer;
  }
  return points;
}

std::vector<StudyPoint> single_points(const Study &study, const StudyPoint &base) {
  std::vector<StudyPoint> points = {base};
  for (std::size_t j = 0; j < study.inputs.size(); ++j) {
    const Marginal &m = study.inputs[j].marginal;
    for (const double value :
         m.is_list() ? m.values : std::vector<double>{m.quantile(0.05), m.quantile(0.95)})
      if (value != base[j]) {
        points.push_back(base);
        points.back()[j] = value;
      }
  }
  return points;
}

} // namespace

std::vector<StudyPoint> plan_points(const Study &study, const StudyPoint &base) {
  if (study.plan == PlanKind::grid)
    return grid_points(study);
  if (study.plan == PlanKind::one_at_a_time)
    return single_points(study, base);
  const std::size_t n = study.inputs.size();
  Matrix sample = study.plan == PlanKind::sobol ? sobol_points(study.points, n, study.seed)
                                                : latin_hypercube(study.points, n, study.seed);
  if (!study.correlations.empty()) {
    Matrix wanted(n, std::vector<double>(n, 0));
    for (std::size_t i = 0; i < n; ++i)
      wanted[i][i] = 1;
    for (const Correlated &c : study.correlations)
      wanted[c.a][c.b] = wanted[c.b][c.a] = c.rank;
    correlate_ranks(sample, wanted, study.seed + 1);
  }
  for (std::vector<double> &row : sample)
    for (std::size_t j = 0; j < n; ++j)
      row[j] = study.inputs[j].marginal.quantile(row[j]);
  return sample;
}

} // namespace raybend
