// Chances from solved feet, weighed by what is published.
#include "postprocess/sure/sureness.hpp"
#include "solver/results.hpp"
#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <eigen3/Eigen/Dense>
#include <limits>
#include <numeric>
#include <optional>
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

/// By how much ln(strain over the reference's) changes from one set of strains to another, of every design that is known (others
/// 0); nothing where one of them is missing.
std::optional<Values> log_changes(const Values &from, const Values &to, const std::size_t reference,
                                  const std::vector<std::size_t> &known) {
  Values change(from.size(), 0);
  for (const std::size_t d : known) {
    change[d] = log_ratio(to, d, reference) - log_ratio(from, d, reference);
    if (!std::isfinite(change[d]))
      return {};
  }
  return change;
}

/// From the coarse to the finer mesh, a foot each.
std::vector<Values> mesh_changes(const FootSample &s, const std::vector<std::size_t> &known) {
  std::vector<Values> list;
  for (const MeshPair &pair : s.meshes)
    if (auto change = log_changes(pair.coarse, pair.fine, s.reference, known))
      list.push_back(*change);
  return list;
}

/// What the mesh does to every design of one foot: the change of a foot drawn of those solved on both, designs together, and of its
/// mean a third, more or less, for a still finer mesh; none solved on both: what was seen on other designs (coarse_pair_strain, taken
/// as two deviations of a difference).
class MeshDoubt {
public:
  MeshDoubt(const FootSample &s, const std::vector<std::size_t> &known)
      : reference_(s.reference), changes_(mesh_changes(s, known)), mean_(s.designs.size(), 0) {
    for (const Values &c : changes_)
      for (std::size_t d = 0; d < mean_.size(); ++d)
        mean_[d] += c[d] / changes_.size();
  }
  template <typename Engine> Values draw(Engine &engine) const {
    boost::random::normal_distribution<double> normal;
    Values e(mean_.size(), 0);
    if (changes_.empty()) {
      for (std::size_t d = 0; d < e.size(); ++d)
        e[d] = d == reference_ ? 0 : coarse_pair_strain / 2 * normal(engine);
      return e;
    }
    const std::size_t k =
        boost::random::uniform_int_distribution<std::size_t>(0, changes_.size() - 1)(engine);
    // n changes and their mean spread by (n - 1) / n of the variance; of one foot more it is (n + 1) / n
    const double n = changes_.size(), wider = n > 1 ? std::sqrt((n + 1) / (n - 1)) : 1,
                 finer = normal(engine) / 3;
    for (std::size_t d = 0; d < e.size(); ++d)
      e[d] = mean_[d] + wider * (changes_[k][d] - mean_[d]) + finer * mean_[d];
    return e;
  }

private:
  std::size_t reference_;
  std::vector<Values> changes_;
  Values mean_;
};

/// Changes of y by the answers to each question of the model, at the case's own numbers; the first, what the case says, is 0. An
/// answer that was not solved is left out.
std::vector<std::vector<Values>> model_changes(const FootSample &s, const std::vector<std::size_t> &known) {
  std::vector<std::vector<Values>> changes;
  for (const ModelQuestion &q : s.model) {
    changes.push_back({Values(s.designs.size(), 0)});
    for (const ModelAlternative &a : q.others)
      if (auto change = log_changes(s.base.strain, a.outputs.strain, s.reference, known))
        changes.back().push_back(*change);
  }
  return changes;
}

std::vector<std::size_t> order_by(const Values &strain) {
  std::vector<std::size_t> order;
  for (std::size_t d = 0; d < strain.size(); ++d)
    if (std::isfinite(strain[d]))
      order.push_back(d);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return strain[a] < strain[b]; });
  return order;
}

std::vector<ModelOrder> model_orders(const FootSample &s) {
  const auto turned = [&](const Values &from, const Values &to) {
    for (std::size_t a = 0; a < from.size(); ++a)
      for (std::size_t b = 0; b < from.size(); ++b)
        if (from[a] < (1 - least_turn) * from[b] && to[b] < (1 - least_turn) * to[a])
          return true;
    return false;
  };
  std::vector<ModelOrder> list;
  for (const ModelQuestion &q : s.model)
    for (const ModelAlternative &a : q.others)
      if (const Values &strain = a.outputs.strain; !order_by(strain).empty())
        list.push_back({q.name, a.name, order_by(strain), turned(s.base.strain, strain)});
  return list;
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
  sure.own_order = order_by(s.base.strain);
  sure.model_orders = model_orders(s);
  // weights; of the feet without one design or another too
  std::vector<const SolvedFoot *> solved;
  Values weight, by_people, weight_barefoot;
  std::vector<Values> said(s.published.size());
  for (const SolvedFoot &f : s.feet) {
    const bool walked = f.outputs.evidence.size() == s.published.size();
    const double l = walked ? log_likelihood(f.outputs.evidence, s.published) : std::nan("");
    if (!std::isfinite(l))
      continue; // the model has no such foot
    weight_barefoot.push_back(std::exp(l - f.log_proposal));
    weight.push_back(f.only_barefoot ? 0 : weight_barefoot.back() / f.kept);
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
                   std::to_string(static_cast<int>(least_effective)) + " are needed" +
                   (s.trouble.empty() ? "" : " (" + s.trouble + ")");
    return sure;
  }
  for (std::size_t j = 0; j < s.published.size() && said[j].size() == weight.size(); ++j)
    sure.evidence.push_back({weighted_mean(said[j], by_people), weighted_deviation(said[j], by_people),
                             weighted_mean(said[j], weight_barefoot),
                             weighted_deviation(said[j], weight_barefoot)});
  // designs that most feet carry are compared, over the feet that carry all of them
  std::vector<std::size_t> known;
  sure.cautions.resize(n);
  for (std::size_t d = 0; d < n; ++d) {
    double lost = 0, all = 0;
    for (std::size_t i = 0; i < solved.size(); ++i) {
      all += weight[i];
      lost += std::isfinite(solved[i]->outputs.strain[d]) ? 0 : weight[i];
    }
    sure.cautions[d].not_carried = all > 0 ? lost / all : 1;
    if (all > 0 && lost < all / 2)
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
  if (std::count(known.begin(), known.end(), s.reference) == 0 || known.size() < 2 ||
      sure.effective < least_effective) {
    sure.why_not = "too few of the feet that walk like people stand on their heads with the reference and "
                   "another design";
    return sure;
  }
  // y_kd: of the person alone, of each other source alone, and of all together; `repeats` draws of model and mesh a foot
  const MeshDoubt mesh(s, known);
  const auto model = model_changes(s, known);
  boost::random::mt19937_64 engine(seed);
  const std::size_t drawn = feet.size() * repeats;
  std::vector<Values> person(n, Values(drawn, 0)), by_model = person, by_mesh = person, y = person;
  Values each;
  for (std::size_t v = 0; v < drawn; ++v) {
    const std::size_t k = v / repeats;
    each.push_back(w[k]);
    std::vector<std::size_t> answer;
    for (const auto &question : model)
      answer.push_back(boost::random::uniform_int_distribution<std::size_t>(0, question.size() - 1)(engine));
    const Values of_mesh = mesh.draw(engine);
    for (const std::size_t d : known) {
      person[d][v] = log_ratio(feet[k]->outputs.strain, d, s.reference);
      for (std::size_t q = 0; q < model.size(); ++q)
        by_model[d][v] += model[q][answer[q]][d];
      by_mesh[d][v] = of_mesh[d];
      y[d][v] = person[d][v] + by_model[d][v] + by_mesh[d][v];
    }
  }
  const auto difference = [&](const std::vector<Values> &of, std::size_t a, std::size_t b) {
    Values list(drawn);
    for (std::size_t v = 0; v < drawn; ++v)
      list[v] = of[a][v] - of[b][v];
    return list;
  };
  // Few feet cannot be certain: a chance out of so many is drawn to all alike by the weight of one foot (Dirichlet prior of all one
  // over their number).
  const auto of_few = [&](const double chance, const std::size_t out_of) {
    return (chance * sure.effective + 1.0 / out_of) / (sure.effective + 1);
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
      p.less = of_few(weighted_mean(less, each), 2);
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
    for (std::size_t from = 0, to; from < by.size(); from = to) { // who is alike shares the places
      for (to = from + 1; to < by.size() && y[by[to]][v] == y[by[from]][v];)
        ++to;
      for (std::size_t k = from; k < to; ++k)
        for (std::size_t r = from; r < to; ++r)
          sure.rank[by[k]][r] += each[v] / (left * repeats * (to - from));
    }
  }
  for (const std::size_t d : known)
    for (std::size_t r = 0; r < known.size(); ++r)
      sure.rank[d][r] = of_few(sure.rank[d][r], known.size());
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
      return compared ? of_few(weighted_mean(rises, w), 2) : std::nan("");
    };
    sure.cautions[d].head_pressure = chance(&FootOutputs::head_rise);
    sure.cautions[d].other_ray = chance(&FootOutputs::ray_rise);
  }
  // which measurement would settle most
  if (sure.pair(sure.order[0], sure.order[1]).less < 0.5)
    std::swap(sure.order[0], sure.order[1]);
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
  const double before = wrong_choice(mean, deviation, 0);
  std::vector<std::vector<std::size_t>> numbers; // of each way
  for (const std::string &way : ways) {
    std::vector<std::size_t> places;
    double kept = 0; // of what it tells, errors of measuring aside
    for (std::size_t j = 0; j < s.numbers.size(); ++j)
      if (const UncertainNumber &u = s.numbers[j]; u.measured_by == way && !u.measured) {
        places.push_back(j);
        kept += 1 - std::pow(u.measured_to / u.deviation, 2);
      }
    numbers.push_back(places);
    Measurement m;
    m.words = way;
    m.part = std::min(1.0, std::max(0.0, kept / places.size()) * of_person *
                               told_part(feet, places, by_foot, w, sure.effective));
    m.wrong_after = before > 0
                        ? std::min(1.0, wrong_choice(mean, deviation, m.part) / before) * sure.wrong_now
                        : sure.wrong_now;
    sure.measurements.push_back(m);
  }
  // what the best of as many ways tells of feet whose numbers were shuffled
  Values by_chance;
  std::vector<const SolvedFoot *> shuffled = feet;
  for (int k = 0; k < 40 && !numbers.empty(); ++k) {
    for (std::size_t i = shuffled.size(); i-- > 1;)
      std::swap(shuffled[i], shuffled[boost::random::uniform_int_distribution<std::size_t>(0, i)(engine)]);
    double most = 0;
    for (const auto &places : numbers)
      most = std::max(most, of_person * told_part(shuffled, places, by_foot, w, sure.effective));
    by_chance.push_back(most);
  }
  std::sort(by_chance.begin(), by_chance.end());
  sure.told_by_chance = by_chance.empty() ? 1 : by_chance[by_chance.size() * 95 / 100];
  std::stable_sort(sure.measurements.begin(), sure.measurements.end(),
                   [](const Measurement &a, const Measurement &b) { return a.part > b.part; });
  return sure;
}

} // namespace raybend
