// The same body, mesh, supports and loads through CalculiX with 20-node hexahedra.
// Needs the program `ccx` (Debian: calculix-ccx).
#pragma once
#include "solver/body/body.hpp"
#include <functional>
#include <map>
#include <vector>

namespace raybend {

struct CcxAnswer {
  /// By node. A node's number is its first unknown's index in the body's level, plus 1; nodes inside faces
  /// and cells (of which 20-node elements have none) are missing.
  std::map<unsigned, Vec3> displacement;
  /// By element (place among the active cells, from 1), at the 3 x 3 x 3 integration points, the first axis
  /// fastest.
  std::map<unsigned, std::vector<Sym2>> stress;
};

/// Linear static analysis of a body of isotropic materials: small-strain constants of each material at rest,
/// all prescribed unknowns with their values in `body.u`, the problem's tractions as consistent nodal forces
/// of 20-node elements, thermal strain at the nodes. Throws std::runtime_error if ccx is missing or fails, or
/// if the problem has what is not carried over (springs, ground, contact, ties, body force).
CcxAnswer run_ccx(const Body &body);

/// The consistent nodal forces of the problem's tractions, N, by node as CcxAnswer numbers them.
std::map<unsigned, Vec3> ccx_forces(const Body &body);

/// How far the body's solution and CalculiX's are apart.
struct CcxComparison {
  double displacement; ///< largest difference at a node over the largest displacement
  double stress_rms; ///< root mean square over the integration points and components, over the largest stress
  double largest_displacement, largest_stress; ///< CalculiX's
};
/// Stress counts where `place` (reference position, mm) is true; empty: everywhere.
CcxComparison compare_with_ccx(const Body &body, const CcxAnswer &answer,
                               const std::function<bool(const Vec3 &)> &place = {});

} // namespace raybend
