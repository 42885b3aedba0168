// Nodes that the smoother relaxes together: the lines through the thickness of flat cells.
#pragma once
#include "solver/operator/solid_operator.hpp"

namespace raybend {

/// Inverse of the block diagonal of a level's tangent, the inner preconditioner of the smoother.
///
/// A block is one node's three unknowns or, where cells are flat, the nodes of a line through their
/// thickness: across a flat cell stiffness grows with the square of width over thickness, so that point
/// relaxation leaves what varies only along the cell, which the next level, as flat, cannot see either
/// (Trottenberg, Oosterlee & Schueller, Multigrid, 2001, section 5.1, from memory). A line ends where a cell
/// less flat begins and at the border between ranks.
class NodeBlocks {
public:
  /// A cell is flat if its smallest extent goes at least this often into the next.
  static constexpr double flat_from = 2;
  /// A longer line is cut.
  static constexpr unsigned most_nodes = 17;

  /// Finds the lines. Call anew when the shape has changed.
  void reinit(const SolidOperator &op);
  /// Takes over the operator's linearization.
  void update(const SolidOperator &op);

  void vmult(RoughVector &dst, const RoughVector &src) const;
  void Tvmult(RoughVector &dst, const RoughVector &src) const { vmult(dst, src); }

private:
  struct Block {
    unsigned first; ///< into unknown_
    unsigned n;     ///< unknowns, three a node
    unsigned at;    ///< into inverse_: n columns of `padded(n)` rows
  };
  static constexpr unsigned padded(unsigned n) { return n == 3 ? 3 : (n + 7) / 8 * 8; }

  std::vector<Block> blocks_;
  std::vector<unsigned> unknown_; ///< of all blocks, local numbers
  std::vector<float> inverse_;
  NodePairs pairs_;
  std::vector<std::array<unsigned, 2>> place_; ///< of each node of each cell: block, number in it
};

} // namespace raybend
