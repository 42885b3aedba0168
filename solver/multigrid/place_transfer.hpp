// Transfer between a level and the one below by place.
#pragma once
#include "solver/operator/solid_operator.hpp"

namespace raybend {

/// Carries displacements (mm) from a level to the next finer one, and residuals back by the transpose.
///
/// The Q2 embedding gives a fine node the coarse field at the node's coordinates in the coarse cell. But
/// there the coarse cell lies elsewhere: a finer mesh follows the curved bodies more closely. Embedded so, a
/// turn of a bone by theta strains it by theta |X - Y| / h, with X the node's place, Y that of its
/// coordinates in the coarse cell, h the cell's size; and bone is thirty thousand times as stiff as the
/// tissue that resists the turn. Here the node takes the coarse field at its own place:
///
///   u_fine(X) = sum_k N_k(xi) u_k      with xi from  sum_k N_k(xi) X_k = X  (Newton's method)
///
/// so that a rigid motion stays rigid. Where cells of several parents share a node, the stiffest one's
/// counts. Every fine node has one row of 27 weights, the same for the three components.
class PlaceTransfer {
public:
  /// For the present shapes of both levels, whose partitions need not match (collective).
  void reinit(const SolidOperator &fine, const Level &coarse);

  void prolongate_and_add(Vector &fine, const Vector &coarse) const;
  void restrict_and_add(Vector &coarse, const Vector &fine) const;

private:
  static constexpr unsigned n_nodes = n_points_1d * n_points_1d * n_points_1d;
  using Node = std::array<unsigned, 3>; ///< local indices of a node's three unknowns
  struct Row {
    Node node;
    std::array<unsigned, n_nodes> column; ///< into columns_
    std::array<float, n_nodes> weight;
  };
  std::vector<Row> rows_;
  std::vector<Node> columns_; ///< in `coarse_`
  mutable Vector coarse_;     ///< with the coarse unknowns of other ranks that rows of this one need
};

} // namespace raybend
