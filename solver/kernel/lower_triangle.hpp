// A symmetric sparse matrix by its lower triangle.
#pragma once
#include <vector>

namespace raybend {

/// Compressed columns: column c holds rows row[start[c]] = c < row[start[c] + 1] < ... and their values.
/// `value` has one entry more at the end, which is no part of the matrix.
struct LowerTriangle {
  std::vector<int> start, row;
  std::vector<double> value;
  unsigned pattern = 0; ///< grows with every new pattern of this matrix
  unsigned size() const { return start.empty() ? 0 : start.size() - 1; }

  /// entry(row, column, value) of everything stored.
  template <typename Entry> void visit(const Entry &entry) const {
    for (unsigned column = 0; column < size(); ++column)
      for (int k = start[column]; k < start[column + 1]; ++k)
        entry(row[k], column, value[k]);
  }
};

} // namespace raybend
