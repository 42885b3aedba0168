// Polynomial and interpolated residuals.
#include "postprocess/best/model.hpp"
#include <algorithm>
#include <cmath>
#include <eigen3/Eigen/Dense>
#include <limits>
#include <numeric>

namespace raybend {

namespace {

constexpr double nugget = 1e-8; ///< on the diagonal, so that points close together do no harm

/// Each input's range is 1; another word of a list is a whole range away.
double distance(const std::vector<double> &a, const std::vector<double> &b,
                const std::vector<BestInput> &inputs) {
  double sum = 0;
  for (std::size_t j = 0; j < inputs.size(); ++j) {
    const double d = inputs[j].words.empty() ? (a[j] - b[j]) / inputs[j].range() : double(a[j] != b[j]);
    sum += d * d;
  }
  return std::sqrt(sum);
}

double matern(const double distance, const double length) {
  const double r = std::sqrt(5.0) * distance / length;
  return (1 + r + r * r / 3) * std::exp(-r);
}

} // namespace

BestModel::BestModel(const std::vector<std::vector<double>> &points, const std::vector<double> &values,
                     const std::vector<BestInput> &inputs)
    : points_(points), inputs_(inputs), error_(std::numeric_limits<double>::quiet_NaN()) {
  const Eigen::Index n = points.size();
  if (n == 0)
    return;
  std::vector<InputMeasure> measures;
  for (const BestInput &input : inputs)
    measures.push_back(input.measure);
  mean_ = std::accumulate(values.begin(), values.end(), 0.0) / n;
  auto polynomial = std::make_shared<const Surrogate>(points, values, measures);
  if (polynomial->indices().terms > 0) { // else there are few points, or nothing changes
    polynomial_ = polynomial;
    error_ = polynomial->indices().error;
  }
  Eigen::VectorXd residual(n);
  for (Eigen::Index i = 0; i < n; ++i)
    residual[i] = values[i] - (polynomial_ ? polynomial_->value(points[i]) : mean_);
  double least = std::numeric_limits<double>::infinity();
  for (const double length : {1.5, 0.8, 0.4, 0.2, 0.1}) {
    Eigen::MatrixXd k(n, n);
    for (Eigen::Index i = 0; i < n; ++i)
      for (Eigen::Index j = 0; j < n; ++j)
        k(i, j) = matern(distance(points[i], points[j], inputs), length) + (i == j ? nugget : 0);
    const Eigen::MatrixXd inverse = k.ldlt().solve(Eigen::MatrixXd::Identity(n, n));
    const Eigen::VectorXd weights = inverse * residual;
    double sum = 0;
    for (Eigen::Index i = 0; i < n; ++i)
      sum += std::pow(weights[i] / inverse(i, i), 2);
    if (!(sum < least))
      continue;
    least = sum;
    length_ = length;
    scale_ = std::sqrt(std::max(0.0, residual.dot(weights)) / n);
    weights_.assign(weights.data(), weights.data() + n);
    inverse_.assign(inverse.data(), inverse.data() + n * n); // symmetric
  }
}

std::vector<double> BestModel::correlations(const std::vector<double> &x) const {
  std::vector<double> k;
  k.reserve(points_.size());
  for (const auto &p : points_)
    k.push_back(matern(distance(x, p, inputs_), length_));
  return k;
}

double BestModel::value(const std::vector<double> &x) const {
  const std::vector<double> k = correlations(x);
  return std::inner_product(k.begin(), k.end(), weights_.begin(),
                            polynomial_ ? polynomial_->value(x) : mean_);
}

double BestModel::deviation(const std::vector<double> &x) const {
  const Eigen::Index n = points_.size();
  if (n == 0)
    return 0;
  const std::vector<double> k = correlations(x);
  const Eigen::Map<const Eigen::VectorXd> row(k.data(), n);
  const Eigen::Map<const Eigen::MatrixXd> inverse(inverse_.data(), n, n);
  return scale_ * std::sqrt(std::max(0.0, 1 - row.dot(inverse * row)));
}

double missed_when_left_out(const std::vector<std::vector<double>> &points, const std::vector<double> &values,
                            const std::vector<BestInput> &inputs) {
  constexpr std::size_t parts = 10;
  double sum = 0;
  for (std::size_t part = 0; part < parts; ++part) {
    std::vector<std::vector<double>> kept;
    std::vector<double> kept_values;
    for (std::size_t i = 0; i < points.size(); ++i)
      if (i % parts != part) {
        kept.push_back(points[i]);
        kept_values.push_back(values[i]);
      }
    if (kept.empty())
      continue;
    const BestModel model(kept, kept_values, inputs);
    for (std::size_t i = part; i < points.size(); i += parts)
      sum += std::pow(values[i] - model.value(points[i]), 2);
  }
  return std::sqrt(sum / points.size());
}

} // namespace raybend
