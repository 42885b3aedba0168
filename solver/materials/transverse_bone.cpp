// Bone, transversely isotropic about the ray's axis.
#include "solver/materials/transverse_bone.hpp"
#include <cmath>

namespace raybend {

using namespace dealii;

namespace {
Sym2 green_lagrange(const Tensor2 &f) {
  return 0.5 * (symmetrize(transpose(f) * f) - unit_symmetric_tensor<3>());
}
} // namespace

TransverseBone::TransverseBone(double e1, double e2, double nu, double g, const Tensor<1, 3> &axis) : g_(g) {
  // Stiffness in axes 1 (along), 2, 3 from the compliance [1/E1, -nu/E1, -nu/E1; .., 1/E2, -nu/E2; ..].
  Tensor<2, 3> compliance;
  compliance[0][0] = 1 / e1;
  compliance[1][1] = compliance[2][2] = 1 / e2;
  for (int i = 1; i < 3; ++i)
    compliance[0][i] = compliance[i][0] = -nu / e1;
  compliance[1][2] = compliance[2][1] = -nu / e2;
  const Tensor<2, 3> normal = invert(compliance);
  const double shear[3] = {e2 / (2 * (1 + nu)), g, g}; // 23, 13, 12
  Tensor<1, 3> a = axis / axis.norm(), help;
  help[std::abs(a[2]) < 0.9 ? 2 : 1] = 1;
  Tensor<1, 3> b = cross_product_3d(help, a);
  b /= b.norm();
  const Tensor<1, 3> n[3] = {a, b, cross_product_3d(a, b)};
  cc_ = 0;
  for (int p = 0; p < 3; ++p)
    for (int q = p; q < 3; ++q)
      for (int r = 0; r < 3; ++r)
        for (int t = r; t < 3; ++t) {
          double sum = 0;
          for (int i = 0; i < 3; ++i)
            for (int k = 0; k < 3; ++k) {
              sum += normal[i][k] * n[i][p] * n[i][q] * n[k][r] * n[k][t];
              if (i != k)
                sum += shear[3 - i - k] * n[i][p] * n[k][q] * (n[i][r] * n[k][t] + n[k][r] * n[i][t]);
            }
          cc_[p][q][r][t] = sum;
        }
}

double TransverseBone::energy(const Tensor2 &f) const {
  const Sym2 e = green_lagrange(f);
  return 0.5 * (e * (cc_ * e));
}

Sym2 TransverseBone::stress(const Tensor2 &f) const {
  return cc_ * green_lagrange(f);
}

void TransverseBone::tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const {
  s = stress(f);
  cc = cc_;
}

} // namespace raybend
