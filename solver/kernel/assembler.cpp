// Blocks of nodes put into one symmetric sparse matrix.
#include "solver/kernel/assembler.hpp"
#include <algorithm>

namespace raybend {

using namespace dealii;

void Assembler::make_pattern(const Level &level, const std::vector<unsigned> &own, LowerTriangle &matrix) {
  const unsigned size = level.dofs.n_dofs();
  std::vector<char> fixed(size, 0); // the unknowns of all ranks
  std::vector<types::global_dof_index> own_fixed;
  for (const auto &line : level.constraints.get_lines())
    own_fixed.push_back(line.index);
  for (const auto &list : Utilities::MPI::all_gather(level.comm, own_fixed))
    for (const auto i : list)
      fixed[i] = 1;

  const auto lists = Utilities::MPI::all_gather(level.comm, own);
  // Visits every value of every block in order: its unknowns, or the mirror image of one that counts already.
  const auto visit = [&](const auto &entry, const auto &end_of_list) {
    for (const auto &list : lists) {
      for (std::size_t at = 0; at < list.size(); at += 1 + 3 * list[at])
        for (unsigned i = 0; i < list[at]; ++i)
          for (unsigned j = i; j < list[at]; ++j)
            for (unsigned c = 0; c < 3; ++c)
              for (unsigned d = 0; d < 3; ++d) {
                const unsigned a = list[at + 1 + 3 * i + c], b = list[at + 1 + 3 * j + d];
                entry(std::max(a, b), std::min(a, b),
                      (i != j || c <= d) && (a == b || (!fixed[a] && !fixed[b])));
              }
      end_of_list();
    }
  };
  std::vector<std::vector<int>> rows(size);
  visit(
      [&rows](unsigned row, unsigned column, bool counts) {
        if (counts)
          rows[column].push_back(row);
      },
      [] {});
  ++matrix.pattern;
  matrix.start.assign(1, 0);
  matrix.row.clear();
  for (std::vector<int> &list : rows) {
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
    matrix.row.insert(matrix.row.end(), list.begin(), list.end());
    matrix.start.push_back(matrix.row.size());
    std::vector<int>().swap(list);
  }
  entry_of_.clear();
  block_counts_.clear();
  std::size_t before = 0;
  visit(
      [&](unsigned row, unsigned column, bool counts) {
        const auto first = matrix.row.begin() + matrix.start[column],
                   last = matrix.row.begin() + matrix.start[column + 1];
        entry_of_.push_back(counts ? std::lower_bound(first, last, static_cast<int>(row)) - matrix.row.begin()
                                   : matrix.row.size());
      },
      [&] {
        block_counts_.push_back(entry_of_.size() - before);
        before = entry_of_.size();
      });
}

void Assembler::fill(MPI_Comm comm, std::vector<double> &own, LowerTriangle &matrix) const {
  std::vector<double> all; // every rank gets every block
  if (block_counts_.size() == 1) {
    all.swap(own);
  } else {
    std::vector<int> displacement(block_counts_.size(), 0);
    for (std::size_t r = 1; r < displacement.size(); ++r)
      displacement[r] = displacement[r - 1] + block_counts_[r - 1];
    all.resize(displacement.back() + block_counts_.back());
    MPI_Allgatherv(own.data(), own.size(), MPI_DOUBLE, all.data(), block_counts_.data(), displacement.data(),
                   MPI_DOUBLE, comm);
  }
  matrix.value.assign(matrix.row.size() + 1, 0.0);
  for (std::size_t k = 0; k < all.size(); ++k)
    matrix.value[entry_of_[k]] += all[k];
}

} // namespace raybend
