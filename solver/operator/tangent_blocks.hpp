// dP/dF from the stored linearization, by pairs of displacement components.
#pragma once
#include "solver/materials/material.hpp"

namespace raybend {

/// A_{cJ,dL} = delta_cd S_JL + F_cM CC_MJNL F_dN , so that dP_cJ = A_{cJ,dL} dF_dL; `a` gets rows J, columns
/// L.
inline void tangent_block(const Tensor2 &f, const Sym2 &s, const Sym4 &cc, unsigned c, unsigned d,
                          Tensor2 &a) {
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

} // namespace raybend
