// The same body, mesh, supports and loads through CalculiX with 20-node hexahedra.
// Needs the program `ccx` (Debian: calculix-ccx).
#pragma once
#include "solver/body/body.hpp"
#include <filesystem>
#include <functional>
#include <map>
#include <vector>

namespace raybend {

/// Unit coordinates of the nodes of a C3D20 element in CalculiX's order: corners below, corners above, edges below,
/// edges above, upright edges.
constexpr double c3d20_nodes[20][3] = {{0, 0, 0},  {1, 0, 0},  {1, 1, 0},  {0, 1, 0},  {0, 0, 1},
                                       {1, 0, 1},  {1, 1, 1},  {0, 1, 1},  {.5, 0, 0}, {1, .5, 0},
                                       {.5, 1, 0}, {0, .5, 0}, {.5, 0, 1}, {1, .5, 1}, {.5, 1, 1},
                                       {0, .5, 1}, {0, 0, .5}, {1, 0, .5}, {1, 1, .5}, {0, 1, .5}};

/// The unknowns of a cell's nodes in this order; a node's number in decks and answers is its first unknown's plus 1.
using CcxElement = std::array<std::array<unsigned, 3>, 20>;
CcxElement ccx_element(const Level &level, const dealii::DoFHandler<3>::active_cell_iterator &cell);

/// Runs ccx on a deck (body.inp of a folder) and leaves body.dat there. Throws std::runtime_error with ccx's own words.
void run_deck(const std::filesystem::path &folder);

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
