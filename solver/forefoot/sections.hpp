// Section resultants, strains and statics along the rays.
#pragma once
#include "solver/forefoot/state.hpp"
#include "solver/results.hpp"

namespace raybend {

/// Fills RayResult::shaft and the peaks drawn from it. For a cut at a station plane of the mesh, with N the reference normal
/// pointing distally, axis point a and axes t (distal), m (medial), n (dorsal):
///   R = int P N dA ,  C = int (x - a) x (P N) dA
///   N = R.t   V = R.n, R.m   M_sagittal = -C.m   M_transverse = C.n   T = C.t
/// averaged over the cells on the two sides. The statics moment is that of all forces on the bone distal of the cut:
/// what the tissue's cells exert on the bone's nodes, the ties and the toe.
void extract_sections(const ForefootState &state, unsigned level, const Vector &u, const std::vector<double> &tensions,
                      DesignResult &result);

} // namespace raybend
