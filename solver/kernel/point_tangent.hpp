// What is kept of the tangent at a point for fast products.
#pragma once
#include "solver/materials/material.hpp"
#include <array>

namespace raybend {

/// Place of (i, j), i <= j, in the rows of the upper triangle of an n x n matrix.
constexpr unsigned packed(unsigned n, unsigned i, unsigned j) {
  return i * n - i * (i + 1) / 2 + j;
}
/// The same for any order of i and j.
constexpr unsigned packed_either(unsigned n, unsigned i, unsigned j) {
  return i <= j ? packed(n, i, j) : packed(n, j, i);
}

// The 9 x 9 matrix  A = w J^-1 (dP/dF) J^-T  (rows and columns 3 c + k: component c, unit direction k; w the
// point's JxW, J the Jacobian from unit coordinates) in four forms. With H = F J^-T, K = F^-T J^-T and the
// numbers of InvariantTangent
//
//   A_(ci)(dm) = delta_cd M_im + w (a H_ci H_dm + b (H_ci K_dm + K_ci H_dm) + c K_ci K_dm - h K_cm K_di)
//
// where M = w (g J^-1 J^-T), to which a bound on compressive stress may have added.
//
//   volume (a = b = 0)   K 9, M 6, w c, w h                       17 numbers
//   invariant            the same, H 9, w a, w b                  28
//   mixed                the same, w det F, the moments' weights  32
//   any                  A, the upper triangle row by row         45

constexpr unsigned point_forms = 4;
constexpr unsigned numbers_of(PointForm form) {
  constexpr unsigned count[point_forms] = {17, 28, 32, 45};
  return count[static_cast<unsigned>(form)];
}

/// Places of the numbers of the first three forms.
struct PointPlace {
  static constexpr unsigned k = 0, m = 9, c = 15, h = 16, big_h = 17, a = 26, b = 27, volume = 28,
                            moment = 29;
};

using PointNumbers = std::array<double, 45>;

/// t = A g of the first three forms, g a gradient in unit coordinates. `change` is K : g, the volume change over det F;
/// `pressure` what a mixed cell's projection adds to t along K, over w det F. T is a number or a vector of them.
template <PointForm form, typename T>
[[gnu::always_inline]] inline void point_product(const T *n, const T (&g)[9], const T &change,
                                                 const T &pressure, T (&t)[9]) {
  static_assert(form != PointForm::any);
  using P = PointPlace;
  const T *k = n + P::k, *m = n + P::m, *h = n + P::big_h;
  T along_k = n[P::c] * change, along_h{};
  if constexpr (form != PointForm::volume) {
    T h_g = h[0] * g[0];
    for (unsigned i = 1; i < 9; ++i)
      h_g += h[i] * g[i];
    along_k += n[P::b] * h_g;
    along_h = n[P::a] * h_g + n[P::b] * change;
  }
  if constexpr (form == PointForm::mixed)
    along_k += n[P::volume] * pressure;
  for (unsigned c = 0; c < 3; ++c) {
    const T x = g[3 * c], y = g[3 * c + 1], z = g[3 * c + 2];
    T *to = t + 3 * c;
    to[0] = m[0] * x + m[1] * y + m[2] * z + along_k * k[3 * c];
    to[1] = m[1] * x + m[3] * y + m[4] * z + along_k * k[3 * c + 1];
    to[2] = m[2] * x + m[4] * y + m[5] * z + along_k * k[3 * c + 2];
    for (unsigned d = 0; d < 3; ++d) {
      const T *other = g + 3 * d;
      const T turned = n[P::h] * (k[3 * c] * other[0] + k[3 * c + 1] * other[1] + k[3 * c + 2] * other[2]);
      for (unsigned i = 0; i < 3; ++i)
        to[i] -= turned * k[3 * d + i];
    }
  }
  if constexpr (form != PointForm::volume)
    for (unsigned i = 0; i < 9; ++i)
      t[i] += along_h * h[i];
}

/// The upper triangle of A from the first three forms (of `mixed` without the projection's part): its products with the
/// nine unit gradients. Four times the work of the entries written out, and yet less than a hundredth of a solve.
template <typename T> void expand_point(PointForm form, const T *n, T (&a)[45]) {
  T g[9] = {}, t[9];
  unsigned at = 0;
  for (unsigned row = 0; row < 9; ++row) {
    g[row] += 1;
    if (form == PointForm::volume)
      point_product<PointForm::volume>(n, g, n[PointPlace::k + row], T{}, t);
    else
      point_product<PointForm::invariant>(n, g, n[PointPlace::k + row], T{}, t);
    g[row] = T{};
    for (unsigned column = row; column < 9; ++column)
      a[at++] = t[column];
  }
}

/// The numbers of a point whose law has the short tangent `t` at f, for the forms `volume` and `invariant` (those of
/// `mixed` but det F and the moments' weights). `inverse` is J^-1 (1/mm, rows in real coordinates), w the point's JxW.
/// Compressive principal values of S in the geometric part are raised to -most (MPa; negative: left), CC is kept: for
/// preconditioning, as compression is what makes coarse matrices indefinite. At most = 0 the rest that can be negative
/// goes too, so that g delta M + a H H + b (H K + K H) + c K K - h K_cm K_di is nowhere: with h > 0 (hydrostatic
/// tension) - h K_cm K_di, by adding h C^-1 to M, as K_cm K_di is no larger than delta_cd (J^-1 C^-1 J^-T)_im; and c is raised
/// to b^2 / a (0 without a), as the pressure p of a mixed cell takes p J from it, which the projection does not see.
void pack_point(const Tensor2 &f, const InvariantTangent &t, double most, const Tensor2 &inverse, double w,
                PointNumbers &a);

/// The same of any law, for the form `any`.
void pack_point(const Tensor2 &f, Sym2 s, const Sym4 &cc, double most, const Tensor2 &inverse, double w,
                PointNumbers &a);

} // namespace raybend
