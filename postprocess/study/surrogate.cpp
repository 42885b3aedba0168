// Sparse polynomial chaos, its cross-validation and Sobol indices.
#include "postprocess/study/surrogate.hpp"
#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <eigen3/Eigen/Dense>
#include <functional>
#include <limits>
#include <numeric>

namespace raybend {

namespace {

using Points = std::vector<std::vector<double>>;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr unsigned highest_degree = 14;
constexpr std::size_t most_candidates = 1500, least_points = 8;
constexpr Index most_terms = 150;
constexpr int folds = 10, resamplings = 200;

double variance(const std::vector<double> &values) {
  const double mean = std::accumulate(values.begin(), values.end(), 0.0) / values.size();
  double sum = 0;
  for (const double v : values)
    sum += (v - mean) * (v - mean);
  return sum / values.size();
}

/// All degrees with (sum d^q)^(1/q) <= most, each input's own limit kept; nothing where there would be too many.
std::vector<std::vector<unsigned>> degrees(const std::vector<unsigned> &limits, const unsigned most,
                                           const double q) {
  std::vector<std::vector<unsigned>> list;
  std::vector<unsigned> now(limits.size(), 0);
  const double room = std::pow(most, q) + 1e-9;
  const std::function<void(std::size_t, double)> go = [&](const std::size_t j, const double used) {
    if (list.size() > most_candidates)
      return;
    if (j == limits.size()) {
      list.push_back(now);
      return;
    }
    for (unsigned d = 0; d <= std::min(limits[j], most); ++d) {
      const double sum = used + std::pow(d, q) * (d > 0);
      if (sum > room)
        break;
      now[j] = d;
      go(j + 1, sum);
    }
    now[j] = 0;
  };
  go(0, 0);
  if (list.size() > most_candidates)
    list.clear();
  return list;
}

} // namespace

std::vector<double> Surrogate::Family::values(const double x, const unsigned n) const {
  std::vector<double> p = {1};
  const double t = (x - middle) / scale;
  for (unsigned k = 0; k < n; ++k)
    p.push_back(((t - a[k]) * p[k] - (k > 0 ? b[k] * p[k - 1] : 0)) / b[k + 1]);
  return p;
}

/// Stieltjes' procedure on the measure's points.
Surrogate::Family Surrogate::family(const InputMeasure &measure) {
  Family f;
  const auto [low, high] = std::minmax_element(measure.begin(), measure.end());
  f.middle = (*low + *high) / 2;
  f.scale = std::max((*high - *low) / 2, 1e-300);
  InputMeasure unlike = measure;
  std::sort(unlike.begin(), unlike.end());
  unlike.erase(std::unique(unlike.begin(), unlike.end()), unlike.end());
  const Index n = measure.size();
  VectorXd t(n);
  for (Index i = 0; i < n; ++i)
    t[i] = (measure[i] - f.middle) / f.scale;
  f.most = std::min<std::size_t>(highest_degree, unlike.size() - 1);
  VectorXd before = VectorXd::Zero(n), p = VectorXd::Ones(n);
  f.b = {0};
  for (unsigned k = 0; k < f.most; ++k) {
    f.a.push_back((t.array() * p.array().square()).sum() / n);
    VectorXd next = (t.array() - f.a[k]) * p.array() - f.b[k] * before.array();
    const double norm = std::sqrt(next.squaredNorm() / n);
    if (norm < 1e-8) {
      f.most = k;
      break;
    }
    f.b.push_back(norm);
    before = p;
    p = next / norm;
  }
  return f;
}

Surrogate::Fit Surrogate::choose(const Points &points, const std::vector<double> &values) const {
  const Index n = points.size();
  Fit best;
  const VectorXd y = Eigen::Map<const VectorXd>(values.data(), n);
  const double spread = variance(values);
  std::vector<unsigned> limits;
  for (const Family &f : families_)
    limits.push_back(f.most);
  std::size_t last_count = 0;
  unsigned worse = 0;
  std::vector<std::vector<std::vector<double>>> at(n); // [point][input][degree]
  for (Index i = 0; i < n; ++i)
    for (std::size_t j = 0; j < families_.size(); ++j)
      at[i].push_back(families_[j].values(points[i][j], families_[j].most));
  best.terms = {{std::vector<unsigned>(families_.size(), 0)}};
  best.coefficients = {y.mean()};
  for (unsigned most = 1; most <= highest_degree && worse < 3; ++most) {
    double here = std::numeric_limits<double>::infinity();
    for (const double q : {0.5, 0.75, 1.0}) {
      const auto candidates = degrees(limits, most, q);
      if (candidates.empty() || candidates.size() == last_count)
        continue;
      last_count = candidates.size();
      MatrixXd basis(n, candidates.size());
      for (std::size_t c = 0; c < candidates.size(); ++c)
        for (Index i = 0; i < n; ++i) {
          double product = 1;
          for (std::size_t j = 0; j < families_.size(); ++j)
            product *= at[i][j][candidates[c][j]];
          basis(i, c) = product;
        }
      // One term after another, the basis made orthogonal to those taken (Gram and Schmidt, twice).
      const Index limit =
          std::min<Index>({static_cast<Index>(candidates.size()), std::max<Index>(1, n / 2), most_terms});
      MatrixXd q_taken(n, limit);
      std::vector<Index> taken;
      std::vector<bool> out(candidates.size(), false);
      VectorXd residual = y, leverage = VectorXd::Zero(n);
      double least = std::numeric_limits<double>::infinity();
      Index least_at = 0;
      const VectorXd norms = basis.colwise().norm();
      while (static_cast<Index>(taken.size()) < limit) {
        Index next = 0; // the constant first
        if (!taken.empty()) {
          const VectorXd match = (basis.transpose() * residual).cwiseAbs();
          double most_match = -1;
          for (Index c = 0; c < match.size(); ++c)
            if (!out[c] && norms[c] > 0 && match[c] / norms[c] > most_match) {
              most_match = match[c] / norms[c];
              next = c;
            }
          if (most_match < 0)
            break;
        }
        out[next] = true;
        VectorXd v = basis.col(next);
        const Index k = taken.size();
        for (int twice = 0; twice < 2; ++twice)
          v -= q_taken.leftCols(k) * (q_taken.leftCols(k).transpose() * v);
        if (v.norm() < 1e-8 * norms[next])
          continue; // the others make it
        v.normalize();
        q_taken.col(k) = v;
        taken.push_back(next);
        residual -= v * v.dot(residual);
        leverage += v.cwiseAbs2();
        double sum = 0;
        for (Index i = 0; i < n; ++i) {
          const double missed = residual[i] / std::max(1e-6, 1 - leverage[i]);
          sum += missed * missed;
        }
        // few points for many terms look better than they are
        const double terms = taken.size(),
                     error = sum / n / std::max(spread, 1e-300) * (n + terms) / (n - terms);
        if (error < least) {
          least = error;
          least_at = taken.size();
        } else if (static_cast<Index>(taken.size()) > least_at + 12 && taken.size() > 1.3 * least_at) {
          break;
        }
      }
      here = std::min(here, least);
      if (least < best.error * (1 - 1e-3) || best.terms.size() < 2) {
        best.error = least;
        best.terms.clear();
        MatrixXd kept(n, least_at);
        for (Index k = 0; k < least_at; ++k) {
          best.terms.push_back({candidates[taken[k]]});
          kept.col(k) = basis.col(taken[k]);
        }
        const VectorXd c = kept.colPivHouseholderQr().solve(y);
        best.coefficients.assign(c.data(), c.data() + c.size());
      }
    }
    worse = here > best.error * 1.0001 ? worse + 1 : 0;
  }
  return best;
}

double Surrogate::value_of(const Fit &fit, const std::vector<double> &point) const {
  std::vector<std::vector<double>> at;
  for (std::size_t j = 0; j < families_.size(); ++j)
    at.push_back(families_[j].values(point[j], families_[j].most));
  double sum = 0;
  for (std::size_t k = 0; k < fit.terms.size(); ++k) {
    double product = fit.coefficients[k];
    for (std::size_t j = 0; j < at.size(); ++j)
      product *= at[j][fit.terms[k].degree[j]];
    sum += product;
  }
  return sum;
}

Surrogate::Surrogate(const Points &points, const std::vector<double> &values,
                     const std::vector<InputMeasure> &inputs) {
  indices_.points = points.size();
  indices_.input.resize(inputs.size());
  for (const InputMeasure &m : inputs)
    families_.push_back(family(m));
  mean_ = values.empty() ? 0 : std::accumulate(values.begin(), values.end(), 0.0) / values.size();
  const std::string too_few =
      std::to_string(points.size()) + " points are too few for " + std::to_string(inputs.size()) + " inputs";
  if (points.size() < least_points) {
    indices_.why_not = too_few;
    return;
  }
  const double spread = variance(values);
  if (!(spread > least_change * least_change * values.front() * values.front())) {
    indices_.why_not = "the output does not change";
    return;
  }
  fit_ = choose(points, values);
  indices_.terms = fit_.terms.size();
  // Ten parts left out in turn.
  std::vector<std::size_t> order(points.size());
  std::iota(order.begin(), order.end(), 0);
  boost::random::mt19937_64 engine(1);
  for (std::size_t i = order.size(); i-- > 1;)
    std::swap(order[i], order[boost::random::uniform_int_distribution<std::size_t>(0, i)(engine)]);
  double sum = 0;
  left_out_.assign(points.size(), 0);
  for (int f = 0; f < folds; ++f) {
    Points kept;
    std::vector<double> kept_values;
    std::vector<std::size_t> left;
    for (std::size_t i = 0; i < order.size(); ++i)
      if (static_cast<int>(i % folds) == f) {
        left.push_back(order[i]);
      } else {
        kept.push_back(points[order[i]]);
        kept_values.push_back(values[order[i]]);
      }
    if (left.empty())
      continue;
    const Fit fit = choose(kept, kept_values);
    for (const std::size_t i : left) {
      left_out_[i] = values[i] - value_of(fit, points[i]);
      sum += left_out_[i] * left_out_[i];
    }
  }
  indices_.error = sum / points.size() / spread;
  if (points.size() < 2 * inputs.size()) {
    indices_.why_not = too_few;
    return;
  }
  if (!(indices_.error <= largest_surrogate_error)) {
    indices_.why_not = "a polynomial in the inputs misses " +
                       std::to_string(static_cast<int>(std::lround(100 * std::min(indices_.error, 9.99)))) +
                       " % of the variance of points left out (allowed " +
                       std::to_string(static_cast<int>(std::lround(100 * largest_surrogate_error))) +
                       " %); more points may mend it";
    return;
  }
  indices_.hold = true;
  set_indices(points, values);
}

void Surrogate::set_indices(const Points &points, const std::vector<double> &values) {
  const std::size_t m = families_.size();
  const auto sums = [&](const VectorXd &c, std::vector<double> &first, std::vector<double> &total) {
    first.assign(m, 0);
    total.assign(m, 0);
    double all = 0;
    for (std::size_t k = 0; k < fit_.terms.size(); ++k) {
      std::size_t used = 0, last = 0;
      for (std::size_t j = 0; j < m; ++j)
        if (fit_.terms[k].degree[j] > 0) {
          ++used;
          last = j;
        }
      if (used == 0)
        continue;
      all += c[k] * c[k];
      for (std::size_t j = 0; j < m; ++j)
        if (fit_.terms[k].degree[j] > 0)
          total[j] += c[k] * c[k];
      if (used == 1)
        first[last] += c[k] * c[k];
    }
    for (std::size_t j = 0; j < m && all > 0; ++j) {
      first[j] /= all;
      total[j] /= all;
    }
    return all;
  };
  std::vector<double> first, total;
  VectorXd c = Eigen::Map<const VectorXd>(fit_.coefficients.data(), fit_.coefficients.size());
  indices_.deviation = std::sqrt(sums(c, first, total));
  for (std::size_t k = 0; k < fit_.terms.size(); ++k)
    if (std::all_of(fit_.terms[k].degree.begin(), fit_.terms[k].degree.end(),
                    [](unsigned d) { return d == 0; }))
      indices_.mean = c[k];
  for (std::size_t j = 0; j < m; ++j) {
    indices_.input[j].first = first[j];
    indices_.input[j].total = total[j];
  }
  const Index n = points.size(), terms = fit_.terms.size();
  MatrixXd basis(n, terms);
  for (Index i = 0; i < n; ++i) {
    std::vector<std::vector<double>> at;
    for (std::size_t j = 0; j < m; ++j)
      at.push_back(families_[j].values(points[i][j], families_[j].most));
    for (Index k = 0; k < terms; ++k) {
      double product = 1;
      for (std::size_t j = 0; j < m; ++j)
        product *= at[j][fit_.terms[k].degree[j]];
      basis(i, k) = product;
    }
  }
  // Residuals, as large as they are for a point left out, go to other points: the points themselves were chosen.
  const Eigen::HouseholderQR<MatrixXd> qr(basis);
  const MatrixXd q = qr.householderQ() * MatrixXd::Identity(n, terms);
  const VectorXd fitted = basis * c;
  VectorXd missed = Eigen::Map<const VectorXd>(values.data(), n) - fitted;
  for (Index i = 0; i < n; ++i)
    missed[i] /= std::max(1e-3, 1 - q.row(i).squaredNorm());
  missed.array() -= missed.mean();
  const Eigen::ColPivHouseholderQR<MatrixXd> solver(basis);
  boost::random::mt19937_64 engine(2);
  boost::random::uniform_int_distribution<Index> any(0, n - 1);
  Points firsts(m), totals(m);
  for (int b = 0; b < resamplings; ++b) {
    VectorXd y = fitted;
    for (Index i = 0; i < n; ++i)
      y[i] += missed[any(engine)];
    sums(solver.solve(y), first, total);
    for (std::size_t j = 0; j < m; ++j) {
      firsts[j].push_back(first[j]);
      totals[j].push_back(total[j]);
    }
  }
  const auto part = [](std::vector<double> list, const double u) {
    std::sort(list.begin(), list.end());
    return list[std::min<std::size_t>(u * list.size(), list.size() - 1)];
  };
  const double tail = (1 - index_confidence) / 2;
  for (std::size_t j = 0; j < m; ++j) {
    InputIndex &x = indices_.input[j];
    x.first_low = std::min(x.first, part(firsts[j], tail));
    x.first_high = std::max(x.first, part(firsts[j], 1 - tail));
    x.total_low = std::min(x.total, part(totals[j], tail));
    x.total_high = std::max(x.total, part(totals[j], 1 - tail));
  }
}

double Surrogate::value(const std::vector<double> &point) const {
  return fit_.terms.empty() ? mean_ : value_of(fit_, point);
}

double Surrogate::main_effect(const std::size_t input, const double x) const {
  const std::vector<double> p = families_[input].values(x, families_[input].most);
  double sum = 0;
  for (std::size_t k = 0; k < fit_.terms.size(); ++k) {
    bool alone = true;
    for (std::size_t j = 0; j < families_.size(); ++j)
      alone &= j == input || fit_.terms[k].degree[j] == 0;
    if (alone)
      sum += fit_.coefficients[k] * p[fit_.terms[k].degree[input]];
  }
  return sum;
}

} // namespace raybend
