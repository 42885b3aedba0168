// Chances from solved feet, weighed by what is published.
#include "postprocess/sure/sureness.hpp"
#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <eigen3/Eigen/Dense>
#include <limits>
#include <numeric>
#include <stdexcept>
#include <tuple>

namespace raybend {

namespace {

using Values = std::vector<double>;

constexpr std::size_t repeats = 100; ///< draws of model and mesh for every foot

double weighted_mean(const Values &x, const Values &w) {
  double sum = 0, all = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    sum += w[i] * x[i];
    all += w[i];
  }
  return sum / all;
}

double weighted_deviation(const Values &x, const Values &w) {
  const double mean = weighted_mean(x, w);
  Values squares;
  for (const double v : x)
    squares.push_back((v - mean) * (v - mean));
  return std::sqrt(weighted_mean(squares, w));
}

double weighted_quantile(const Values &x, const Values &w, const double u) {
  std::vector<std::size_t> order(x.size());
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return x[a] < x[b]; });
  const double wanted = u * std::accumulate(w.begin(), w.end(), 0.0);
  double sum = 0;
  for (const std::size_t i : order)
    if ((sum += w[i]) >= wanted)
      return x[i];
  return x[order.back()];
}

double log_ratio(const Values &strain, const std::size_t d, const std::size_t reference) {
  return std::log(strain[d] / strain[reference]);
}

/// m_d and e_d of the mesh.
struct MeshDoubt {
  Values mean, deviation;
};

MeshDoubt mesh_doubt(const FootSample &s) {
  const std::size_t n = s.designs.size();
  MeshDoubt doubt{Values(n, 0), Values(n, 0)};
  for (std::size_t d = 0; d < n; ++d) {
    Values change;
    for (const MeshPair &pair : s.meshes) {
      const double c = log_ratio(pair.fine, d, s.reference) - log_ratio(pair.coarse, d, s.reference);
      if (std::isfinite(c))
        change.push_back(c);
    }
    if (change.empty() || d == s.reference)
      continue;
    const double mean = std::accumulate(change.begin(), change.end(), 0.0) / change.size();
    double sum = 0;
    for (const double c : change)
      sum += (c - mean) * (c - mean);
    // of one foot more: its own and that of the mean; one pair alone: all of it
    const double n_pairs = change.size();
    const double own = n_pairs > 1 ? sum / (n_pairs - 1) * (1 + 1 / n_pairs) : mean * mean;
    doubt.mean[d] = mean;
    doubt.deviation[d] = std::sqrt(own + mean * mean / 9);
  }
  return doubt;
}

/// Changes of an output by the answers to each question of the model, at the case's own numbers; the first, what the case says, is
/// 0, as is one that was not solved.
std::vector<std::vector<Values>> model_changes(const FootSample &s) {
  std::vector<std::vector<Values>> changes;
  const std::size_t n = s.designs.size();
  for (const ModelQuestion &q : s.model) {
    changes.push_back({Values(n, 0)});
    for (const ModelAlternative &a : q.others) {
      Values change(n, 0);
      for (std::size_t d = 0; d < n; ++d) {
        const double c =
            log_ratio(a.outputs.strain, d, s.reference) - log_ratio(s.base.strain, d, s.reference);
        change[d] = std::isfinite(c) ? c : 0;
      }
      changes.back().push_back(change);
    }
  }
  return changes;
}

/// Chance of taking the worse of two whose difference is N(mean, deviation), expected after a measurement that tells the part of its
/// variance.
double wrong_choice(const double mean, const double deviation, const double part) {
  const boost::math::normal n;
  if (!(deviation > 0))
    return 0;
  const double told = deviation * std::sqrt(part), left = deviation * std::sqrt(std::max(1e-12, 1 - part));
  constexpr int parts = 200;
  double sum = 0;
  for (int i = 0; i < parts; ++i)
    sum += cdf(n, -std::abs(mean + told * quantile(n, (i + 0.5) / parts)) / left);
  return sum / parts;
}

/// Part of the variance of `y` that these numbers tell: weighted least squares in them, less what as many numbers without meaning
/// would tell.
double told_part(const std::vector<const SolvedFoot *> &feet, const std::vector<std::size_t> &numbers,
                 const Values &y, const Values &w, const double effective) {
  const Eigen::Index n = feet.size(), terms = 1 + numbers.size();
  Eigen::MatrixXd a(n, terms);
  Eigen::VectorXd b(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const double root = std::sqrt(w[i]);
    a(i, 0) = root;
    for (std::size_t j = 0; j < numbers.size(); ++j)
      a(i, 1 + j) = root * feet[i]->z[numbers[j]];
    b[i] = root * y[i];
  }
  const double all = std::accumulate(w.begin(), w.end(), 0.0), whole = std::pow(weighted_deviation(y, w), 2);
  if (!(whole > 0) || effective <= terms + 1)
    return 0;
  const Eigen::VectorXd c = a.colPivHouseholderQr().solve(b);
  return std::clamp(1 - (b - a * c).squaredNorm() / all / whole * (effective - 1) / (effective - terms), 0.0,
                    1.0);
}

void check(const FootSample &s) {
  const std::size_t n = s.designs.size();
  const auto whole = [&](const FootOutputs &o) {
    return o.strain.size() == n && o.head_rise.size() == n && o.ray_rise.size() == n &&
           (o.evidence.empty() || o.evidence.size() == s.published.size());
  };
  bool good = n > 0 && s.reference < n && whole(s.base);
  for (const SolvedFoot &f : s.feet)
    good &= f.z.size() == s.numbers.size() && whole(f.outputs);
  for (const ModelQuestion &q : s.model)
    for (const ModelAlternative &a : q.others)
      good &= whole(a.outputs);
  for (const MeshPair &p : s.meshes)
    good &= p.coarse.size() == n && p.fine.size() == n;
  if (!good)
    throw std::invalid_argument("the parts of a sample of feet do not belong together");
}

} // namespace

PairChance Sureness::pair(const std::size_t a, const std::size_t b) const {
  for (const PairChance &p : pairs)
    if (p.a == a && p.b == b)
      return p;
  for (PairChance p : pairs)
    if (p.a == b && p.b == a) {
      const auto turned = [](double percent) { return 100 * (1 / (1 + percent / 100) - 1); };
      std::swap(p.a, p.b);
      p.less = 1 - p.less;
      p.median = turned(p.median);
      std::swap(p.low, p.high);
      p.low = turned(p.low);
      p.high = turned(p.high);
      return p;
    }
  throw std::out_of_range("no chance of these two designs");
}

double Sureness::error_of(const double chance) const {
  return std::sqrt(chance * (1 - chance) / std::max(1.0, effective));
}

double log_likelihood(const Values &evidence, const std::vector<PublishedNumber> &published) {
  double sum = 0;
  for (std::size_t j = 0; j < published.size(); ++j)
    sum -= std::pow((evidence[j] - published[j].mean) / published[j].deviation, 2) / 2;
  return std::isfinite(sum) ? sum : -std::numeric_limits<double>::infinity();
}

Sureness how_sure(const FootSample &s, const std::uint64_t seed) {
  check(s);
  const std::size_t n = s.designs.size();
  Sureness sure;
  sure.designs = s.designs;
  sure.seconds = s.seconds;
  sure.published = s.published;
  sure.numbers = s.numbers;
  sure.tried = s.feet.size();
  // weights; of the feet without one design or another too
  std::vector<const SolvedFoot *> solved;
  Values weight, by_people;
  std::vector<Values> said(s.published.size());
  for (const SolvedFoot &f : s.feet) {
    const bool walked = f.outputs.evidence.size() == s.published.size();
    const double l = walked ? log_likelihood(f.outputs.evidence, s.published) : std::nan("");
    if (!std::isfinite(l))
      continue; // the model has no such foot
    weight.push_back(std::exp(l - f.log_proposal));
    by_people.push_back(std::exp(-f.log_proposal));
    for (std::size_t j = 0; j < f.outputs.evidence.size(); ++j)
      said[j].push_back(f.outputs.evidence[j]);
    solved.push_back(&f);
  }
  sure.solved =
      std::count_if(solved.begin(), solved.end(), [](const SolvedFoot *f) { return !f->only_barefoot; });
  const double sum = std::accumulate(weight.begin(), weight.end(), 0.0);
  if (sum > 0)
    sure.effective = sum * sum / std::inner_product(weight.begin(), weight.end(), weight.begin(), 0.0);
  if (sure.effective < least_effective) {
    sure.why_not = std::to_string(sure.solved) +
                   " feet were solved, and what is published of walking leaves as much as " +
                   std::to_string(static_cast<int>(sure.effective)) + " of them; " +
                   std::to_string(static_cast<int>(least_effective)) + " are needed";
    return sure;
  }
  for (std::size_t j = 0; j < s.published.size() && said[j].size() == weight.size(); ++j)
    sure.evidence.push_back({weighted_mean(said[j], by_people), weighted_deviation(said[j], by_people),
                             weighted_mean(said[j], weight), weighted_deviation(said[j], weight)});
  // designs that most feet carry are compared, over the feet that carry all of them
  std::vector<std::size_t> known;
  sure.cautions.resize(n);
  for (std::size_t d = 0; d < n; ++d) {
    double lost = 0, all = 0;
    for (std::size_t i = 0; i < solved.size(); ++i)
      if (!solved[i]->only_barefoot) {
        all += weight[i];
        lost += std::isfinite(solved[i]->outputs.strain[d]) ? 0 : weight[i];
      }
    sure.cautions[d].not_carried = lost / all;
    if (lost < all / 2)
      known.push_back(d);
  }
  std::vector<const SolvedFoot *> feet;
  Values w;
  for (std::size_t i = 0; i < solved.size(); ++i)
    if (std::isfinite(solved[i]->outputs.strain[s.reference]) &&
        std::all_of(known.begin(), known.end(),
                    [&](std::size_t d) { return std::isfinite(solved[i]->outputs.strain[d]); })) {
      feet.push_back(solved[i]);
      w.push_back(weight[i]);
    }
  const double left = std::accumulate(w.begin(), w.end(), 0.0);
  sure.effective = left > 0 ? left * left / std::inner_product(w.begin(), w.end(), w.begin(), 0.0) : 0;
  if (known.size() < 2 || sure.effective < least_effective) {
    sure.why_not = "too few of the feet carry the reference and another design";
    return sure;
  }
  // y_kd: of the person alone, of each other source alone, and of all together; `repeats` draws of model and mesh a foot
  const MeshDoubt mesh = mesh_doubt(s);
  const auto model = model_changes(s);
  boost::random::mt19937_64 engine(seed);
  boost::random::normal_distribution<double> normal;
  const std::size_t drawn = feet.size() * repeats;
  std::vector<Values> person(n, Values(drawn, 0)), by_model = person, by_mesh = person, y = person;
  Values each;
  for (std::size_t v = 0; v < drawn; ++v) {
    const std::size_t k = v / repeats;
    each.push_back(w[k]);
    std::vector<std::size_t> answer;
    for (const auto &question : model)
      answer.push_back(boost::random::uniform_int_distribution<std::size_t>(0, question.size() - 1)(engine));
    for (const std::size_t d : known) {
      person[d][v] = log_ratio(feet[k]->outputs.strain, d, s.reference);
      for (std::size_t q = 0; q < model.size(); ++q)
        by_model[d][v] += model[q][answer[q]][d];
      by_mesh[d][v] = mesh.mean[d] + mesh.deviation[d] * normal(engine);
      y[d][v] = person[d][v] + by_model[d][v] + by_mesh[d][v];
    }
  }
  const auto difference = [&](const std::vector<Values> &of, std::size_t a, std::size_t b) {
    Values list(drawn);
    for (std::size_t v = 0; v < drawn; ++v)
      list[v] = of[a][v] - of[b][v];
    return list;
  };
  const auto percent = [](double log) { return 100 * (std::exp(log) - 1); };
  for (std::size_t i = 0; i < known.size(); ++i)
    for (std::size_t j = i + 1; j < known.size(); ++j) {
      PairChance p;
      p.a = known[i];
      p.b = known[j];
      const Values list = difference(y, p.a, p.b);
      Values less;
      for (const double x : list)
        less.push_back(x < 0 ? 1 : x > 0 ? 0 : 0.5);
      p.less = weighted_mean(less, each);
      p.median = percent(weighted_quantile(list, each, 0.5));
      p.low = percent(weighted_quantile(list, each, 0.05));
      p.high = percent(weighted_quantile(list, each, 0.95));
      const auto alone = [&](const std::vector<Values> &of) {
        return 100 * weighted_deviation(difference(of, p.a, p.b), each);
      };
      p.person = alone(person);
      p.model = alone(by_model);
      p.mesh = alone(by_mesh);
      sure.pairs.push_back(p);
    }
  // ranks
  sure.rank.assign(n, Values(n, 0));
  std::vector<std::size_t> by = known;
  for (std::size_t v = 0; v < drawn; ++v) {
    std::sort(by.begin(), by.end(),
              [&](std::size_t a, std::size_t b) { return std::tie(y[a][v], a) < std::tie(y[b][v], b); });
    for (std::size_t r = 0; r < by.size(); ++r)
      sure.rank[by[r]][r] += each[v] / (left * repeats);
  }
  const auto mean_rank = [&](std::size_t d) {
    double mean = 0;
    for (std::size_t r = 0; r < n; ++r)
      mean += r * sure.rank[d][r];
    return mean;
  };
  sure.order = known;
  std::stable_sort(sure.order.begin(), sure.order.end(),
                   [&](std::size_t a, std::size_t b) { return mean_rank(a) < mean_rank(b); });
  // cautions
  for (std::size_t d = 0; d < n; ++d) {
    const auto chance = [&](const Values FootOutputs::*of) {
      Values rises;
      for (const SolvedFoot *f : feet)
        rises.push_back((f->outputs.*of)[d] > std::log1p(notable_rise));
      const bool compared = d != s.reference && std::count(known.begin(), known.end(), d) > 0;
      return compared ? weighted_mean(rises, w) : std::nan("");
    };
    sure.cautions[d].head_pressure = chance(&FootOutputs::head_rise);
    sure.cautions[d].other_ray = chance(&FootOutputs::ray_rise);
  }
  // which measurement would settle most
  const std::size_t first = sure.order[0], second = sure.order[1];
  sure.wrong_now = 1 - sure.pair(first, second).less;
  const Values together = difference(y, first, second);
  Values by_foot;
  for (const SolvedFoot *f : feet)
    by_foot.push_back(log_ratio(f->outputs.strain, first, second));
  const double mean = weighted_mean(together, each), deviation = weighted_deviation(together, each);
  const double of_person = std::pow(weighted_deviation(by_foot, w) / std::max(deviation, 1e-300), 2);
  std::vector<std::string> ways;
  for (const UncertainNumber &u : s.numbers)
    if (!u.measured && !u.measured_by.empty() &&
        std::find(ways.begin(), ways.end(), u.measured_by) == ways.end())
      ways.push_back(u.measured_by);
  for (const std::string &way : ways) {
    std::vector<std::size_t> places;
    for (std::size_t j = 0; j < s.numbers.size(); ++j)
      if (s.numbers[j].measured_by == way && !s.numbers[j].measured)
        places.push_back(j);
    Measurement m;
    m.words = way;
    m.part = std::min(1.0, of_person * told_part(feet, places, by_foot, w, sure.effective));
    const double before = wrong_choice(mean, deviation, 0);
    m.wrong_after = before > 0
                        ? std::min(1.0, wrong_choice(mean, deviation, m.part) / before) * sure.wrong_now
                        : sure.wrong_now;
    sure.measurements.push_back(m);
  }
  std::stable_sort(sure.measurements.begin(), sure.measurements.end(),
                   [](const Measurement &a, const Measurement &b) { return a.part > b.part; });
  return sure;
}

} // namespace raybend
