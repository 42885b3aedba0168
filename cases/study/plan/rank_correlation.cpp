// Rank correlations by reordering.
#include "cases/study/plan/rank_correlation.hpp"
#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <eigen3/Eigen/Dense>
#include <numeric>
#include <stdexcept>

namespace raybend {

namespace {

std::vector<std::size_t> order_of(const std::vector<double> &column) {
  std::vector<std::size_t> order(column.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return column[a] < column[b]; });
  return order;
}

std::vector<double> column_of(const Matrix &sample, const std::size_t c) {
  std::vector<double> column;
  for (const auto &row : sample)
    column.push_back(row[c]);
  return column;
}

Eigen::VectorXd ranks(const std::vector<double> &column) {
  const auto order = order_of(column);
  Eigen::VectorXd rank(column.size());
  for (std::size_t i = 0; i < order.size();) {
    std::size_t end = i;
    while (end < order.size() && column[order[end]] == column[order[i]])
      ++end;
    for (std::size_t k = i; k < end; ++k)
      rank[order[k]] = 0.5 * (i + end - 1);
    i = end;
  }
  return rank;
}

double correlation(Eigen::VectorXd a, Eigen::VectorXd b) {
  a.array() -= a.mean();
  b.array() -= b.mean();
  return a.dot(b) / (a.norm() * b.norm());
}

} // namespace

void correlate_ranks(Matrix &sample, const Matrix &wanted, const std::uint64_t seed) {
  const Eigen::Index n = sample.size(), k = wanted.size();
  if (n < k + 1)
    throw std::invalid_argument("too few points for rank correlations");
  Eigen::MatrixXd target(k, k);
  for (Eigen::Index i = 0; i < k; ++i)
    for (Eigen::Index j = 0; j < k; ++j)
      target(i, j) = wanted[i][j];
  const Eigen::LLT<Eigen::MatrixXd> goal(target);
  if (goal.info() != Eigen::Success)
    throw std::invalid_argument("the rank correlations contradict one another (not positive definite)");
  // Scores, shuffled in each column, so that by chance alone they hardly go together.
  boost::random::mt19937_64 engine(seed);
  const boost::math::normal normal;
  Eigen::MatrixXd scores(n, k);
  for (Eigen::Index j = 0; j < k; ++j) {
    for (Eigen::Index i = 0; i < n; ++i)
      scores(i, j) = quantile(normal, (i + 1.0) / (n + 1));
    for (Eigen::Index i = n - 1; i > 0; --i)
      std::swap(scores(i, j), scores(boost::random::uniform_int_distribution<Eigen::Index>(0, i)(engine), j));
  }
  // What correlation they have is taken out, the wanted one put in.
  Eigen::MatrixXd own(k, k);
  for (Eigen::Index i = 0; i < k; ++i)
    for (Eigen::Index j = 0; j < k; ++j)
      own(i, j) = correlation(scores.col(i), scores.col(j));
  const Eigen::LLT<Eigen::MatrixXd> chance(own);
  if (chance.info() != Eigen::Success)
    throw std::invalid_argument("too few points for rank correlations");
  const Eigen::MatrixXd q = chance.matrixL(), p = goal.matrixL();
  const Eigen::MatrixXd turned = scores * (p * q.inverse()).transpose();
  for (Eigen::Index j = 0; j < k; ++j) {
    std::vector<double> values = column_of(sample, j);
    std::sort(values.begin(), values.end());
    const auto order = order_of({turned.col(j).data(), turned.col(j).data() + n});
    for (Eigen::Index i = 0; i < n; ++i)
      sample[order[i]][j] = values[i];
  }
}

double rank_correlation(const Matrix &sample, const std::size_t a, const std::size_t b) {
  return correlation(ranks(column_of(sample, a)), ranks(column_of(sample, b)));
}

} // namespace raybend
