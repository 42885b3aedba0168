// Section resultants, strains and statics along the rays.
#pragma once
#include "solver/forefoot/state.hpp"
#include "solver/results.hpp"

namespace raybend {

/// Fills RayResult::shaft and the peaks drawn from it. The resultant on a station plane of the mesh is taken
/// in its domain form, which is as accurate as the equilibrium (a plain integral of stress over the plane
/// misses 2 to 8 % on these meshes): with chi the sum of the shape functions of the plane's nodes over the
/// bone's cells just distal of it,
///   R = - int P grad(chi) dV ,   C = - sum_nodes (x_i - a) x int P grad(N_i) dV .
/// With the section's centre a, under load, and the axes t (distal), m (medial), n (dorsal) of the unloaded ray
/// turned with the bone there (under load rays roll and pitch by some degrees):
///   N = R.t   V = R.n, R.m   M_sagittal = -C.m   M_transverse = C.n   T = C.t
/// The statics moment comes from other cells and terms: all forces on the bone distal of the cut, i.e. what
/// the tissue's cells exert on the bone's nodes, the ties and the toe. `ties`: what each exerts on its region.
void extract_sections(const ForefootState &state, unsigned level, const Vector &u,
                      const std::vector<Vec3> &ties, DesignResult &result);

} // namespace raybend
