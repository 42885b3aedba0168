// Sums over a bone's cells from which its section resultants, surface strains and extremes follow.
#pragma once
#include "solver/forefoot/state.hpp"
#include <array>
#include <deal.II/base/tensor.h>
#include <vector>

namespace raybend {

/// At one station plane of one ray. Forces in N, moments about the origin in N mm, deformed places.
struct SectionPlane {
  using V = dealii::Tensor<1, 3>;
  double area = 0; ///< mm2, unloaded
  V centre;        ///< integral of the place over the area, mm3
  V force,
      moment; ///< of the part distal of the plane on the part proximal of it: nodal forces of the bone's cells
  dealii::Tensor<2, 3> deformation; ///< integral of F over the bone's cells on both sides of the plane, mm3
  std::array<double, 4> strain{}, stress{},
      samples{};               ///< dorsal, plantar, medial, lateral: sums and their number
  V outer_force, outer_moment; ///< of the tissue on the bone just distal of the plane, but not on it
  V plane_force, plane_moment; ///< of the tissue on the nodes of the plane
  /// What of a unit load on the head falls on the plane's nodes through the cells distal of it, and the integral of
  /// the place over it, mm.
  double head_share = 0;
  V head_place;

  /// Every number in turn, so that ranks can add them up.
  template <typename Act> void each(const Act &act) {
    act(area);
    act(head_share);
    for (V *v :
         {&centre, &force, &moment, &outer_force, &outer_moment, &plane_force, &plane_moment, &head_place})
      for (unsigned i = 0; i < 3; ++i)
        act((*v)[i]);
    for (unsigned i = 0; i < 3; ++i)
      for (unsigned j = 0; j < 3; ++j)
        act(deformation[i][j]);
    for (std::array<double, 4> *list : {&strain, &stress, &samples})
      for (double &x : *list)
        act(x);
  }
};

/// A principal stress, MPa, and the fraction of the ray's length where it stands.
struct PlacedStress {
  double value = 0, at = 0;
};

struct BoneSums {
  int planes = 0;                  ///< of one ray
  std::vector<SectionPlane> plane; ///< ray after ray, from the base on
  std::array<PlacedStress, 5> highest{},
      lowest{};                             ///< principal S of the shaft's cortex (15 to 85 % of the length)
  std::array<dealii::Tensor<1, 3>, 5> head; ///< mean place of each head, weighted as its ties are

  SectionPlane &at(int ray, int k) { return plane[(ray - 1) * planes + k]; }
};

/// Over all ranks. `u`: displacement on the level.
BoneSums sum_bones(const ForefootState &state, unsigned level_number, const Vector &u);

} // namespace raybend
