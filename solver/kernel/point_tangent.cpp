// What is kept of the tangent at a point, from what the point's law gives.
#include "solver/kernel/point_tangent.hpp"

namespace raybend {

using namespace dealii;

namespace {

/// Raises principal values of S below -bound to -bound (MPa, bound >= 0). True if `s` changed.
bool bound_compression(Sym2 &s, double bound) {
  if (eigenvalues(s)[2] >= -bound)
    return false;
  const auto pairs = eigenvectors(s, SymmetricTensorEigenvectorMethod::jacobi);
  s = 0;
  for (const auto &[value, direction] : pairs)
    s += std::max(value, -bound) * symmetrize(outer_product(direction, direction));
  return true;
}

/// A_{cJ,dL} = delta_cd S_JL + F_cM CC_MJNL F_dN , so that dP_cJ = A_{cJ,dL} dF_dL; `a` gets rows J, columns
/// L.
void tangent_block(const Tensor2 &f, const Sym2 &s, const Sym4 &cc, unsigned c, unsigned d, Tensor2 &a) {
  double half[3][3][3]; // (M -> c): F_cM CC_MJNL
  for (unsigned j = 0; j < 3; ++j)
    for (unsigned n = 0; n < 3; ++n)
      for (unsigned l = 0; l < 3; ++l)
        half[j][n][l] = f[c][0] * cc[0][j][n][l] + f[c][1] * cc[1][j][n][l] + f[c][2] * cc[2][j][n][l];
  for (unsigned j = 0; j < 3; ++j)
    for (unsigned l = 0; l < 3; ++l) {
      a[j][l] = f[d][0] * half[j][0][l] + f[d][1] * half[j][1][l] + f[d][2] * half[j][2][l];
      if (c == d)
        a[j][l] += s[j][l];
    }
}

} // namespace

void pack_point(const Tensor2 &f, const InvariantTangent &t, double most, const Tensor2 &inverse, double w,
                PointNumbers &a) {
  using P = PointPlace;
  const Tensor2 v = transpose(invert(f)), k = v * inverse, h = f * inverse;
  Sym2 middle = t.g * unit_symmetric_tensor<3>();
  if (most >= 0) {
    const Sym2 own = middle + t.h * symmetrize(transpose(v) * v); // S
    Sym2 s = own;
    if (bound_compression(s, most)) // what the bound adds to the geometric part
      middle += s - own;
  }
  double c = t.c;
  if (most == 0) { // nothing negative is left
    middle += std::max(t.h, 0.0) * symmetrize(transpose(v) * v);
    c = std::max(c, t.a > 0 ? t.b * t.b / t.a : 0.0);
  }
  const Tensor2 m = w * (transpose(inverse) * Tensor2(middle) * inverse);
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j) {
      a[P::k + 3 * i + j] = k[i][j];
      a[P::big_h + 3 * i + j] = h[i][j];
      if (i <= j)
        a[P::m + packed(3, i, j)] = m[i][j];
    }
  a[P::c] = w * c;
  a[P::h] = w * t.h;
  a[P::a] = w * t.a;
  a[P::b] = w * t.b;
}

void pack_point(const Tensor2 &f, Sym2 s, const Sym4 &cc, double most, const Tensor2 &inverse, double w,
                PointNumbers &a) {
  if (most >= 0)
    bound_compression(s, most);
  Tensor2 block[3][3];
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned d = c; d < 3; ++d) {
      tangent_block(f, s, cc, c, d, block[c][d]);
      block[c][d] = w * (transpose(inverse) * block[c][d] * inverse);
    }
  unsigned at = 0;
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned i = 0; i < 3; ++i)
      for (unsigned d = c; d < 3; ++d)
        for (unsigned m = c == d ? i : 0; m < 3; ++m)
          a[at++] = block[c][d][i][m];
}

} // namespace raybend
