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

/// The upper triangle of A from the first three forms; T is a number or a vector of them.
template <typename T> void expand_point(PointForm form, const T *n, T (&a)[45]) {
  using P = PointPlace;
  const bool with_h = form != PointForm::volume;
  unsigned at = 0;
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned i = 0; i < 3; ++i) {
      const T kc = n[P::c] * n[P::k + 3 * c + i];
      for (unsigned d = c; d < 3; ++d)
        for (unsigned m = c == d ? i : 0; m < 3; ++m, ++at) {
          a[at] = kc * n[P::k + 3 * d + m] - n[P::h] * n[P::k + 3 * c + m] * n[P::k + 3 * d + i];
          if (with_h) {
            const T hc = n[P::big_h + 3 * c + i], hd = n[P::big_h + 3 * d + m];
            a[at] += n[P::a] * hc * hd + n[P::b] * (hc * n[P::k + 3 * d + m] + n[P::k + 3 * c + i] * hd);
          }
          if (c == d)
            a[at] += n[P::m + packed(3, i, m)];
        }
    }
}

} // namespace raybend
