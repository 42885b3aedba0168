// Ridge regression on the scouts, and sampling in proportion to the likelihood that it guesses.
#include "postprocess/sure/proposal.hpp"
#include <algorithm>
#include <boost/random/discrete_distribution.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <cmath>
#include <eigen3/Eigen/Dense>
#include <limits>
#include <map>
#include <numeric>

namespace raybend {

namespace {

constexpr std::size_t least_known = 20; ///< feet to learn from (chosen)
constexpr double worst_guess = 0.95;    ///< of the variance (chosen)

} // namespace

Proposal::Proposal(const std::vector<SolvedFoot> &scouts, const std::vector<PublishedNumber> &published) {
  for (std::size_t j = 0; j < published.size(); ++j) {
    missed_.push_back(1);
    std::vector<const SolvedFoot *> known;
    for (const SolvedFoot &f : scouts)
      if (f.outputs.evidence.size() == published.size() && std::isfinite(f.outputs.evidence[j]))
        known.push_back(&f);
    if (known.size() < least_known)
      continue;
    const Eigen::Index n = known.size(), m = known[0]->z.size();
    Eigen::MatrixXd a(n, m + 1);
    Eigen::VectorXd y(n);
    for (Eigen::Index i = 0; i < n; ++i) {
      a(i, 0) = 1;
      for (Eigen::Index k = 0; k < m; ++k)
        a(i, 1 + k) = known[i]->z[k];
      y[i] = known[i]->outputs.evidence[j];
    }
    const double variance = (y.array() - y.mean()).square().mean();
    Eigen::VectorXd best;
    double least = worst_guess * variance;
    for (const double penalty : {1.0, 3.0, 10.0, 30.0, 100.0}) {
      Eigen::MatrixXd normal = a.transpose() * a;
      for (Eigen::Index k = 1; k <= m; ++k)
        normal(k, k) += penalty;
      const Eigen::LDLT<Eigen::MatrixXd> factor(normal);
      const Eigen::VectorXd c = factor.solve(a.transpose() * y);
      const Eigen::MatrixXd hat = a * factor.solve(a.transpose());
      const Eigen::VectorXd left_out = (y - a * c).array() / (1 - hat.diagonal().array());
      if (const double error = left_out.squaredNorm() / n; error < least) {
        least = error;
        best = c;
      }
    }
    if (best.size() == 0)
      continue;
    Guess g;
    g.constant = best[0];
    g.slope.assign(best.data() + 1, best.data() + best.size());
    g.mean = published[j].mean;
    g.variance = published[j].deviation * published[j].deviation + least;
    guesses_.push_back(g);
    missed_.back() = least / variance;
  }
}

double Proposal::log_likelihood(const std::vector<double> &z) const {
  double sum = 0;
  for (const Guess &g : guesses_)
    sum -= std::pow(std::inner_product(z.begin(), z.end(), g.slope.begin(), g.constant) - g.mean, 2) /
           (2 * g.variance);
  return sum;
}

double Proposal::density(const std::vector<double> &z) const {
  constexpr double part = 0.2; // as people have them (chosen)
  return part + (1 - part) * std::exp(log_likelihood(z)) / mean_;
}

std::vector<DrawnFoot> Proposal::draw(const std::vector<std::vector<double>> &pool, const std::size_t feet,
                                      const std::uint64_t seed) {
  mean_ = 0;
  for (const std::vector<double> &z : pool)
    mean_ += std::exp(log_likelihood(z)) / pool.size();
  std::vector<double> density;
  for (const std::vector<double> &z : pool)
    density.push_back(this->density(z));
  boost::random::mt19937_64 engine(seed);
  boost::random::uniform_01<double> luck;
  boost::random::discrete_distribution<std::size_t> any(density.begin(), density.end());
  std::vector<DrawnFoot> list;
  std::map<std::size_t, std::size_t> at; // place in the list
  for (std::size_t k = 0; k < feet; ++k) {
    const std::size_t i = any(engine);
    const auto [it, fresh] = at.emplace(i, list.size());
    if (fresh)
      list.push_back({i, density[i], {}, luck(engine)});
    list[it->second].draws.push_back(k);
  }
  return list;
}

double DrawnFoot::log_proposal(const std::size_t made) const {
  const auto counted = std::lower_bound(draws.begin(), draws.end(), made) - draws.begin();
  return std::log(density / std::max<std::ptrdiff_t>(1, counted));
}

double chance_kept(const double weight, const double level) {
  return weight < level ? weight / level : 1;
}

double thinning_level(const std::vector<double> &weight, const std::vector<double> &number,
                      const double cost) {
  double best = 0, least = std::numeric_limits<double>::infinity();
  for (const double level : weight) {
    double time = 0, doubt = 0;
    for (std::size_t i = 0; i < weight.size(); ++i) {
      time += number[i] * (1 + cost * chance_kept(weight[i], level));
      doubt += number[i] * weight[i] * std::max(weight[i], level);
    }
    if (time * doubt > 0 && time * doubt < least) {
      least = time * doubt;
      best = level;
    }
  }
  return best;
}

} // namespace raybend
