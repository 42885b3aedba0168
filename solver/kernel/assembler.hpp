// Blocks of nodes put into one symmetric sparse matrix.
#pragma once
#include "solver/discretization/level.hpp"
#include "solver/kernel/lower_triangle.hpp"

namespace raybend {

/// Adds up blocks of cells and faces. A block of n nodes is listed as n, then the nodes' 3 n unknowns; its values are
/// the 3 x 3 matrices of its pairs of nodes (i, j), i <= j, row by row.
class Assembler {
public:
  bool ready() const { return !entry_of_.empty(); } ///< there is a pattern
  void forget() { entry_of_.clear(); }

  /// `blocks`: this rank's. Entries of fixed unknowns off the diagonal are left out.
  void make_pattern(const Level &level, const std::vector<unsigned> &blocks, LowerTriangle &matrix);
  /// The sum of this rank's and all others' `values` into a matrix with that pattern, on every rank. Uses `values` up.
  void fill(MPI_Comm comm, std::vector<double> &values, LowerTriangle &matrix) const;

private:
  std::vector<unsigned> entry_of_; ///< of every block's values, all ranks, into the matrix
  std::vector<int> block_counts_;  ///< values of each rank
};

} // namespace raybend
