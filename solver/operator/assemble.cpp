// Diagonal and matrix of the sparse part of the tangent, from the stored linearization.
#include "solver/operator/line_shapes.hpp"
#include "solver/operator/solid_operator.hpp"
#include <algorithm>
#include <deal.II/fe/fe_q.h>

namespace raybend {

using namespace dealii;

namespace {
constexpr unsigned cell_nodes = 27, side_nodes = 9;
} // namespace

void SolidOperator::compute_diagonal(Vector &diagonal) const {
  level_.initialize(diagonal);
  if (exact_ready_)
    exact_.add_diagonal(diagonal);
  else
    rough_.add_diagonal(diagonal);
  diagonal.compress(VectorOperation::add);
  low_rank_.add_diagonal(diagonal);
  for (unsigned i = 0; i < diagonal.locally_owned_size(); ++i)
    if (diagonal.local_element(i) <= 0)
      diagonal.local_element(i) = 1;
}

// The matrix is the sum of blocks: of cells, then of faces. A block of n nodes lists the 3 x 3 values of its
// pairs of nodes (i, j), i <= j, row by row:  K_(i c)(j d) = int grad N_i . A_cd grad N_j.
void SolidOperator::compute_cell_matrices(double bound, std::vector<double> &values) const {
  if (!assembly_) {
    assembly_ = std::make_unique<TangentKernel<double>>();
    assembly_->reinit(level_, form_);
  }
  fill_cells(bound, assembly_.get(), nullptr);
  NodePairs pairs(1);
  for (unsigned char i = 0; i < cell_nodes; ++i)
    for (unsigned char j = i; j < cell_nodes; ++j)
      pairs[0].push_back({i, j});
  pairs.resize(mixed_of_.size(), pairs[0]);
  assembly_->pair_matrices(pairs, values);
}

// Faces:  K_(i c)(j d) = sum over points  N_i N_j K_cd,  with -N on the second side.
void SolidOperator::compute_face_matrices(std::vector<double> &values) const {
  const LineShapes &line = line_shapes();
  double shape[n_q_face][2 * side_nodes];
  for (unsigned q = 0; q < n_q_face; ++q)
    for (unsigned i = 0; i < side_nodes; ++i) {
      shape[q][i] = line.value[q % 3][i % 3] * line.value[q / 3][i / 3];
      shape[q][side_nodes + i] = -shape[q][i];
    }
  for (const FaceSlot &slot : slots_) {
    if (slot.kind == FaceKind::none || slot.kind == FaceKind::traction)
      continue;
    const unsigned n = slot.kind == FaceKind::contact ? 2 * side_nodes : side_nodes;
    for (unsigned i = 0; i < n; ++i)
      for (unsigned j = i; j < n; ++j) {
        FaceStiffness sum{};
        for (unsigned q = 0; q < n_q_face; ++q)
          for (unsigned k = 0; k < 6; ++k)
            sum[k] += shape[q][i] * shape[q][j] * face_stiffness_[slot.offset + q][k];
        for (const unsigned k : {0, 1, 2, 1, 3, 4, 2, 4, 5})
          values.push_back(sum[k]);
      }
  }
}

// For each block of values above: its number of nodes, then their unknowns.
void SolidOperator::list_blocks(std::vector<unsigned> &nodes) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  std::vector<types::global_dof_index> index(3 * cell_nodes);
  for (unsigned batch = 0; batch < mf.n_cell_batches(); ++batch) {
    mf.get_cell_iterator(batch, 0)->get_dof_indices(index);
    nodes.push_back(cell_nodes);
    for (unsigned i = 0; i < cell_nodes; ++i)
      for (unsigned c = 0; c < 3; ++c)
        nodes.push_back(index[level_.fe.component_to_system_index(c, lexicographic[i])]);
  }
  for (unsigned face = 0; face < slots_.size(); ++face) {
    if (slots_[face].kind == FaceKind::none || slots_[face].kind == FaceKind::traction)
      continue;
    const bool pair = slots_[face].kind == FaceKind::contact;
    nodes.push_back(pair ? 2 * side_nodes : side_nodes);
    for (const bool interior : {true, false})
      if (interior || pair) {
        const auto unknown = face_unknowns(face, interior);
        nodes.insert(nodes.end(), unknown.begin(), unknown.end());
      }
  }
}

void SolidOperator::make_pattern(LowerTriangle &matrix) const {
  std::vector<char> fixed(m(), 0); // the unknowns of all ranks
  std::vector<types::global_dof_index> own_fixed;
  for (const auto &line : level_.constraints.get_lines())
    own_fixed.push_back(line.index);
  for (const auto &list : Utilities::MPI::all_gather(level_.comm, own_fixed))
    for (const auto i : list)
      fixed[i] = 1;

  std::vector<unsigned> own;
  list_blocks(own);
  const auto lists = Utilities::MPI::all_gather(level_.comm, own);
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
  std::vector<std::vector<int>> rows(m());
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

void SolidOperator::assemble(LowerTriangle &matrix, double bound) const {
  if (matrix.size() != m() || entry_of_.empty())
    make_pattern(matrix);

  // Every rank gets every block.
  std::vector<double> own, all;
  compute_cell_matrices(bound, own);
  compute_face_matrices(own);
  if (block_counts_.size() == 1) {
    all.swap(own);
  } else {
    std::vector<int> displacement(block_counts_.size(), 0);
    for (std::size_t r = 1; r < displacement.size(); ++r)
      displacement[r] = displacement[r - 1] + block_counts_[r - 1];
    all.resize(displacement.back() + block_counts_.back());
    MPI_Allgatherv(own.data(), own.size(), MPI_DOUBLE, all.data(), block_counts_.data(), displacement.data(),
                   MPI_DOUBLE, level_.comm);
  }
  matrix.value.assign(matrix.row.size() + 1, 0.0);
  for (std::size_t k = 0; k < all.size(); ++k)
    matrix.value[entry_of_[k]] += all[k];
}

} // namespace raybend
