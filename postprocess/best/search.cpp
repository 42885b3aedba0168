// Rounds of surrogate, search on it, solves.
#include "postprocess/best/search.hpp"
#include "postprocess/best/flat.hpp"
#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <cmath>
#include <nlopt.hpp>

namespace raybend {

namespace {

using Place = std::vector<double>;

constexpr double margin = 0.003;       ///< of a cap, kept by what the surrogate proposes
constexpr double slack = 0.3 * margin; ///< that a descent and rounding to steps may take of it
constexpr double small_gain = 0.25;    ///< of the tolerance: less is not worth another solve
constexpr std::size_t starts =
                          600, ///< places where the surrogate is looked at, over all combinations of lists
    most_combinations = 300, descents = 12;
constexpr int most_steps = 400;                                      ///< of a descent
constexpr double optimism = 2;                                       ///< deviations
constexpr double nearest_neighbour = 0.03, furthest_neighbour = 0.2; ///< parts of an input's range

/// All combinations of the lists' values; numbers between limits stand at their low one. Of very many some, at random.
std::vector<Place> combinations(const BestProblem &problem, boost::random::mt19937_64 &engine) {
  double count = 1;
  for (const BestInput &input : problem.inputs)
    if (input.list)
      count *= input.measure.size();
  boost::random::uniform_01<double> any;
  std::vector<Place> list = {{}};
  if (count > most_combinations) {
    list.assign(most_combinations, {});
    for (Place &place : list)
      for (const BestInput &input : problem.inputs)
        place.push_back(input.list ? input.measure[std::size_t(any(engine) * input.measure.size())]
                                   : input.low);
    return list;
  }
  for (const BestInput &input : problem.inputs) {
    std::vector<Place> longer;
    for (const Place &place : list)
      for (const double value : input.list ? input.measure : std::vector<double>{input.low}) {
        longer.push_back(place);
        longer.back().push_back(value);
      }
    list = longer;
  }
  return list;
}

/// The same words, and less than a tenth of the range apart in every number.
bool close(const BestProblem &problem, const Place &a, const Place &b) {
  for (std::size_t j = 0; j < a.size(); ++j) {
    const BestInput &input = problem.inputs[j];
    if (input.list ? a[j] != b[j] : std::abs(a[j] - b[j]) > 0.1 * input.range())
      return false;
  }
  return true;
}

class Proposer {
public:
  /// `deviations`: how many of them the surrogate may be better than it says.
  Proposer(const BestProblem &problem, const BestModels &models, const std::vector<Candidate> &candidates,
           const double deviations)
      : problem_(problem), models_(models), candidates_(candidates), deviations_(deviations) {}

  double aim(const Place &x) const {
    return models_.aim->value(x) - (deviations_ > 0 ? deviations_ * models_.aim->deviation(x) : 0);
  }
  double excess(const std::size_t cap, const Place &x) const {
    const BestModel &m = models_.use[cap];
    return m.value(x) - (deviations_ > 0 ? deviations_ * m.deviation(x) : 0) - (1 - margin);
  }
  double worst_excess(const Place &x) const {
    double most = -1;
    for (std::size_t c = 0; c < models_.use.size(); ++c)
      most = std::max(most, excess(c, x));
    return most;
  }

  /// The best places, the first first, each on its inputs' steps.
  std::vector<Place> places() const {
    boost::random::mt19937_64 engine(problem_.seed);
    boost::random::uniform_01<double> any;
    std::vector<Place> seen;
    const std::vector<Place> lists = combinations(problem_, engine);
    for (std::size_t i = 0; i < std::max<std::size_t>(starts, 2 * lists.size()); ++i) {
      Place x = lists[i % lists.size()];
      for (std::size_t j = 0; j < x.size(); ++j)
        if (const BestInput &input = problem_.inputs[j]; input.between_limits())
          x[j] = input.low + any(engine) * (input.high - input.low);
      seen.push_back(x);
    }
    for (const Candidate &c : candidates_)
      seen.push_back(c.x);
    sort(seen);
    std::vector<Place> found;
    for (std::size_t i = 0; i < seen.size() && found.size() < descents; ++i) {
      const auto near = [&](const Place &other) { return close(problem_, seen[i], other); };
      if (std::none_of(seen.begin(), seen.begin() + i, near))
        found.push_back(descended(seen[i]));
    }
    for (const Candidate &c : candidates_)
      found.push_back(c.x);
    for (Place &x : found)
      for (std::size_t j = 0; j < x.size(); ++j)
        if (problem_.inputs[j].between_limits())
          x[j] = on_step(problem_.inputs[j], x[j]);
    sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
  }

private:
  /// Within the caps first, by aim; then by what they exceed.
  void sort(std::vector<Place> &list) const {
    std::vector<std::pair<std::pair<double, double>, std::size_t>> by;
    for (std::size_t i = 0; i < list.size(); ++i) {
      const double over = std::max(0.0, worst_excess(list[i]) - slack);
      by.push_back({{over, aim(list[i])}, i});
    }
    std::sort(by.begin(), by.end());
    std::vector<Place> sorted;
    for (const auto &b : by)
      sorted.push_back(list[b.second]);
    list = sorted;
  }

  Place descended(const Place &start) const {
    std::vector<std::size_t> free;
    Place low, high, at;
    for (std::size_t j = 0; j < start.size(); ++j)
      if (const BestInput &input = problem_.inputs[j]; input.between_limits()) {
        free.push_back(j);
        low.push_back(0);
        high.push_back(1);
        at.push_back(std::clamp((start[j] - input.low) / input.range(), 0.0, 1.0));
      }
    if (free.empty())
      return start;
    Place x = start;
    const auto spread = [&](const Place &t) {
      for (std::size_t k = 0; k < free.size(); ++k)
        x[free[k]] = problem_.inputs[free[k]].low + t[k] * problem_.inputs[free[k]].range();
      return x;
    };
    const double unit = std::max(1e-300, std::abs(aim(start)));
    struct Asked {
      std::function<double(const Place &)> f;
    };
    const auto call = [](const std::vector<double> &t, std::vector<double> &, void *asked) {
      return static_cast<Asked *>(asked)->f(t);
    };
    Asked least{[&](const Place &t) { return aim(spread(t)) / unit; }};
    std::vector<Asked> caps;
    for (std::size_t c = 0; c < models_.use.size(); ++c)
      caps.push_back({[&, c](const Place &t) { return excess(c, spread(t)); }});
    nlopt::opt search(nlopt::LN_COBYLA, free.size());
    search.set_lower_bounds(low);
    search.set_upper_bounds(high);
    search.set_min_objective(call, &least);
    for (Asked &cap : caps)
      search.add_inequality_constraint(call, &cap, 1e-6);
    search.set_initial_step(0.05);
    search.set_xtol_abs(1e-5);
    search.set_maxeval(most_steps);
    double value = 0;
    try {
      search.optimize(at, value);
    } catch (const nlopt::roundoff_limited &) { // what it has is as good
    } catch (const std::runtime_error &) {
    }
    for (std::size_t k = 0; k < at.size(); ++k)
      at[k] = std::clamp(at[k], 0.0, 1.0);
    return spread(at);
  }

  const BestProblem &problem_;
  const BestModels &models_;
  const std::vector<Candidate> &candidates_;
  double deviations_;
};

const Candidate *find(const std::vector<Candidate> &candidates, const Place &x) {
  for (const Candidate &c : candidates)
    if (c.x == x)
      return &c;
  return nullptr;
}

/// The first place that can be solved and did not fail; where `fresh`, of those only that were not looked at, and not
/// close to `apart_from`.
std::optional<Place> first_of(const std::vector<Place> &places, const BestProblem &problem,
                              const std::vector<Candidate> &candidates, const bool fresh,
                              const std::optional<Place> &apart_from = {}) {
  for (const Place &x : places)
    if (apart_from && close(problem, x, *apart_from))
      continue;
    else if (const Candidate *c = find(candidates, x); c ? !fresh && c->solved : problem.valid(x))
      return x;
  return {};
}

/// The best design's neighbours along each input that are not there yet.
std::vector<Place> neighbours(const BestProblem &problem, const BestModels &models,
                              const std::vector<Candidate> &candidates, const std::size_t best) {
  std::vector<Place> list;
  const Place &at = candidates[best].x;
  const std::vector<FlatRange> ranges = flat_ranges(problem, models, candidates, best);
  const auto add = [&](const Place &x) {
    if (!find(candidates, x) && problem.valid(x))
      list.push_back(x);
  };
  for (const FlatRange &range : ranges)
    for (const int side : {-1, 1}) {
      const BestInput &input = problem.inputs[range.input];
      const double here = at[range.input],
                   away = std::clamp(side < 0 ? here - range.low : range.high - here,
                                     nearest_neighbour * input.range(), furthest_neighbour * input.range());
      const double there = std::clamp(here + side * away, input.low, input.high);
      const bool known = std::any_of(candidates.begin(), candidates.end(), [&](const Candidate &c) {
        Place x = c.x;
        const double d = side * (x[range.input] - here);
        x[range.input] = here;
        return x == at && d >= 0.5 * away && d <= 1.25 * furthest_neighbour * input.range();
      });
      Place x = at;
      x[range.input] = on_step(input, there);
      if (!known && x != at)
        add(x);
    }
  for (std::size_t j = 0; j < at.size(); ++j) {
    const BestInput &input = problem.inputs[j];
    if (!input.list)
      continue;
    Place values = input.measure;
    std::sort(values.begin(), values.end());
    const std::size_t here = std::find(values.begin(), values.end(), at[j]) - values.begin();
    for (std::size_t k = 0; k < values.size(); ++k)
      if (k != here && (!input.words.empty() || k + 1 == here || k == here + 1)) {
        Place x = at;
        x[j] = values[k];
        add(x);
      }
  }
  return list;
}

/// The best design's aim by a surrogate from all other candidates.
double foretold_of(const BestProblem &problem, const std::vector<Candidate> &candidates,
                   const std::size_t best) {
  std::vector<Place> points;
  std::vector<double> values;
  for (std::size_t i = 0; i < candidates.size(); ++i)
    if (i != best && candidates[i].solved) {
      points.push_back(candidates[i].x);
      values.push_back(candidates[i].aim);
    }
  return points.empty() ? Candidate::unknown
                        : BestModel(points, values, problem.inputs).value(candidates[best].x);
}

} // namespace

double on_step(const BestInput &input, const double value) {
  const double steps = std::round((value - input.low) / input.step);
  const double x = std::clamp(input.low + steps * input.step, input.low, input.high);
  return std::round(x * 1e6) / 1e6; // 0.1 times 3 is 0.3
}

double BestModels::largest_use(const std::vector<double> &x) const {
  double most = 0;
  for (const BestModel &m : use)
    most = std::max(most, m.value(x));
  return most;
}

BestModels fit_models(const BestProblem &problem, const std::vector<Candidate> &candidates) {
  std::vector<Place> points;
  std::vector<double> aim, pressure;
  std::vector<std::vector<double>> use(problem.caps);
  for (const Candidate &c : candidates)
    if (c.solved) {
      points.push_back(c.x);
      aim.push_back(c.aim);
      pressure.push_back(c.pressure);
      for (std::size_t k = 0; k < problem.caps; ++k)
        use[k].push_back(c.use[k]);
    }
  BestModels models;
  models.aim.emplace(points, aim, problem.inputs);
  models.pressure.emplace(points, pressure, problem.inputs);
  for (const std::vector<double> &values : use)
    models.use.emplace_back(points, values, problem.inputs);
  return models;
}

std::optional<std::size_t> best_of(const std::vector<Candidate> &candidates) {
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < candidates.size(); ++i)
    if (candidates[i].within() && (!best || candidates[i].aim < candidates[*best].aim))
      best = i;
  return best;
}

BestSearch find_best(const BestProblem &problem, const std::vector<Candidate> &sample) {
  BestSearch s;
  s.candidates = sample;
  const auto solve = [&](const int round, const std::vector<Place> &points) {
    std::vector<Candidate> found = problem.solve(round, points);
    for (Candidate &c : found) {
      c.round = round;
      c.predicted = s.models.aim->value(c.x);
    }
    s.candidates.insert(s.candidates.end(), found.begin(), found.end());
    return !found.empty();
  };
  for (int round = 1;; ++round) {
    const std::size_t solved =
        std::count_if(s.candidates.begin(), s.candidates.end(), [](const Candidate &c) { return c.solved; });
    if (solved == 0)
      return s;
    s.models = fit_models(problem, s.candidates);
    s.best = best_of(s.candidates);
    const Proposer sober(problem, s.models, s.candidates, 0),
        hopeful(problem, s.models, s.candidates, optimism);
    const std::optional<Place> place = first_of(sober.places(), problem, s.candidates, false);
    const bool fresh = place && !find(s.candidates, *place);
    const std::optional<Place> hidden =
        first_of(hopeful.places(), problem, s.candidates, true, fresh ? place : std::optional<Place>());
    const auto gain = [&](const Proposer &by, const std::optional<Place> &x) {
      if (!x || by.worst_excess(*x) > slack)
        return 0.0;
      return s.best ? std::max(0.0, 1 - by.aim(*x) / s.candidates[*s.best].aim) : 1.0;
    };
    s.gain_left = gain(sober, place);
    std::vector<Place> next;
    if (s.best) {
      s.foretold = foretold_of(problem, s.candidates, *s.best);
      const double aim = s.candidates[*s.best].aim;
      s.agreed = s.gain_left < problem.tolerance && std::abs(s.foretold - aim) <= problem.tolerance * aim;
      if (!fresh || s.gain_left < small_gain * problem.tolerance) {
        next = neighbours(problem, s.models, s.candidates, *s.best);
        if (next.empty() && s.agreed && gain(hopeful, hidden) <= problem.tolerance)
          break;
      }
    }
    if (round > problem.rounds) {                // the last solves go to the neighbours
      if (round <= problem.rounds + 2 && s.best) // the first ones may move the best
        next = neighbours(problem, s.models, s.candidates, *s.best);
      else
        next.clear();
      if (next.empty())
        break;
    } else {
      if (next.empty() && fresh)
        next.push_back(*place);
      if (hidden && (next.empty() || gain(hopeful, hidden) > problem.tolerance) &&
          std::find(next.begin(), next.end(), *hidden) == next.end())
        next.push_back(*hidden);
      if (next.empty())
        break; // nothing new can be solved
    }
    if (!solve(round, next))
      break; // the caller does not go on
  }
  if (!s.best) {
    const auto worst = [](const Candidate &c) { return *std::max_element(c.use.begin(), c.use.end()); };
    for (std::size_t i = 0; i < s.candidates.size(); ++i)
      if (s.candidates[i].solved && (!s.nearest || worst(s.candidates[i]) < worst(s.candidates[*s.nearest])))
        s.nearest = i;
  }
  return s;
}

} // namespace raybend
