// Ogden-Storakers hyperfoam, one term.
#include "solver/materials/hyperfoam.hpp"
#include <cmath>

namespace raybend {

using namespace dealii;

Hyperfoam::Hyperfoam(double mu, double alpha, double beta) : mu_(mu), a_(alpha), b_(beta) {}

double Hyperfoam::energy(const Tensor2 &f) const {
  const auto lambda2 = eigenvalues(symmetrize(transpose(f) * f));
  const double j = determinant(f);
  double sum = -3;
  for (const double l2 : lambda2)
    sum += std::pow(l2, a_ / 2);
  sum += b_ > 1e-10 ? (std::pow(j, -a_ * b_) - 1) / b_ : -a_ * std::log(j);
  return 2 * mu_ / (a_ * a_) * sum;
}

Sym2 Hyperfoam::stress(const Tensor2 &f) const {
  Sym2 s;
  Sym4 cc;
  tangent(f, s, cc);
  return s;
}

// In principal axes N_i of C with stretches l_i:  S_i = (2 mu/a) (l_i^a - J^(-a b)) / l_i^2.
void Hyperfoam::tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const {
  const auto pairs = eigenvectors(symmetrize(transpose(f) * f), SymmetricTensorEigenvectorMethod::jacobi);
  const double volume = std::pow(determinant(f), -a_ * b_), g = 2 * mu_ / a_;
  double l2[3], si[3], own[3]; // own: 2 dS_i/d(l_i^2) without the volume term's coupling
  for (int i = 0; i < 3; ++i) {
    l2[i] = pairs[i].first;
    si[i] = g * (std::pow(l2[i], a_ / 2) - volume) / l2[i];
    own[i] = g * ((a_ - 2) * std::pow(l2[i], a_ / 2) + 2 * volume) / (l2[i] * l2[i]);
  }
  Tensor<2, 3> n;
  for (int i = 0; i < 3; ++i)
    for (int p = 0; p < 3; ++p)
      n[i][p] = pairs[i].second[p];
  s = 0;
  cc = 0;
  for (int p = 0; p < 3; ++p)
    for (int q = p; q < 3; ++q)
      for (int i = 0; i < 3; ++i)
        s[p][q] += si[i] * n[i][p] * n[i][q];
  for (int p = 0; p < 3; ++p)
    for (int q = p; q < 3; ++q)
      for (int r = 0; r < 3; ++r)
        for (int t = r; t < 3; ++t) {
          double sum = 0;
          for (int i = 0; i < 3; ++i)
            for (int k = 0; k < 3; ++k) {
              const double coupled = (i == k ? own[i] : 0) + g * a_ * b_ * volume / (l2[i] * l2[k]);
              sum += coupled * n[i][p] * n[i][q] * n[k][r] * n[k][t];
              if (i == k)
                continue;
              const double gap = l2[k] - l2[i];
              const double shear =
                  std::abs(gap) > 1e-6 * (l2[i] + l2[k]) ? (si[k] - si[i]) / gap : 0.25 * (own[i] + own[k]);
              sum += shear * n[i][p] * n[k][q] * (n[i][r] * n[k][t] + n[k][r] * n[i][t]);
            }
          cc[p][q][r][t] = sum;
        }
}

} // namespace raybend
