// Nodes that the smoother relaxes together: the lines through the thickness of flat cells.
#include "solver/multigrid/node_blocks.hpp"
#include <algorithm>
#include <deal.II/fe/fe_q.h>
#include <deal.II/lac/lapack_templates.h>
#include <numeric>

namespace raybend {

using namespace dealii;

namespace {
typedef float Lane __attribute__((vector_size(32), may_alias, aligned(4)));
constexpr unsigned none = numbers::invalid_unsigned_int;

/// Axis (0, 1, 2) through the thickness of a flat cell, 3 if it is not flat.
unsigned flat_axis(const Level &level, const DoFHandler<3>::active_cell_iterator &cell) {
  std::array<Tensor<1, 3>, 3> along;
  for (unsigned axis = 0; axis < 3; ++axis)
    for (unsigned v = 0; v < 8; ++v)
      for (unsigned i = 0; i < 3; ++i)
        along[axis][i] += ((v >> axis) & 1u ? 0.25 : -0.25) * level.position[cell->vertex_dof_index(v, i)];
  std::array<double, 3> extent = {along[0].norm(), along[1].norm(), along[2].norm()};
  const unsigned axis = std::min_element(extent.begin(), extent.end()) - extent.begin();
  std::sort(extent.begin(), extent.end());
  return extent[1] >= NodeBlocks::flat_from * extent[0] ? axis : 3;
}

/// Replaces the symmetric n x n matrix by its inverse; false if it is not positive definite.
bool invert(double *matrix, int n) {
  const char triangle = 'L';
  types::blas_int size = n, info = 0;
  potrf(&triangle, &size, matrix, &size, &info);
  if (info == 0)
    potri(&triangle, &size, matrix, &size, &info);
  for (int column = 0; column < n; ++column)
    for (int row = column + 1; row < n; ++row)
      matrix[row * n + column] = matrix[column * n + row];
  return info == 0;
}
} // namespace

void NodeBlocks::reinit(const SolidOperator &op) {
  const Level &level = op.level();
  const MatrixFree<3, double> &mf = level.matrix_free;
  const auto &partitioner = *mf.get_vector_partitioner();
  const unsigned owned = partitioner.locally_owned_size(), cells = mf.n_cell_batches();
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);

  // A node goes by its first unknown. Nodes of a line are joined pair by pair.
  std::vector<std::array<unsigned, 3>> node(27 * cells); // local unknowns
  std::vector<unsigned> parent(owned), size(owned, 1);
  std::iota(parent.begin(), parent.end(), 0);
  const auto root = [&parent](unsigned i) {
    while (parent[i] != i)
      i = parent[i] = parent[parent[i]];
    return i;
  };
  std::vector<types::global_dof_index> global(81);
  for (unsigned c = 0; c < cells; ++c) {
    const DoFHandler<3>::active_cell_iterator cell = mf.get_cell_iterator(c, 0);
    cell->get_dof_indices(global);
    for (unsigned i = 0; i < 27; ++i)
      for (unsigned d = 0; d < 3; ++d)
        node[27 * c + i][d] =
            partitioner.global_to_local(global[level.fe.component_to_system_index(d, lexicographic[i])]);
    const unsigned axis = flat_axis(level, cell), step = axis == 0 ? 1 : axis == 1 ? 3 : 9;
    for (unsigned i = 0; i < 27 && axis < 3; ++i) {
      if (i / step % 3 == 2)
        continue;
      const unsigned a = node[27 * c + i][0], b = node[27 * c + i + step][0];
      if (a >= owned || b >= owned || root(a) == root(b) || size[root(a)] + size[root(b)] > most_nodes)
        continue;
      size[root(b)] += size[root(a)];
      parent[root(a)] = root(b);
    }
  }

  blocks_.clear();
  std::vector<unsigned> block_of(owned, none), number_of(owned, none);
  for (const auto &n : node) {
    if (n[0] >= owned || number_of[n[0]] != none)
      continue;
    unsigned &block = block_of[root(n[0])];
    if (block == none) {
      block = blocks_.size();
      blocks_.push_back({0, 0, 0});
    }
    number_of[n[0]] = blocks_[block].n;
    blocks_[block].n += 3;
  }
  unsigned first = 0, at = 0;
  for (Block &block : blocks_) {
    block.first = first;
    block.at = at;
    first += block.n;
    at += block.n * padded(block.n);
  }
  unknown_.resize(first);
  inverse_.assign(at, 0);
  place_.resize(node.size());
  for (unsigned k = 0; k < node.size(); ++k) {
    place_[k] = {none, none};
    const unsigned a = node[k][0];
    if (a >= owned)
      continue;
    place_[k] = {block_of[root(a)], number_of[a]};
    for (unsigned d = 0; d < 3; ++d)
      unknown_[blocks_[place_[k][0]].first + number_of[a] + d] = node[k][d];
  }
  pairs_.assign(cells, {});
  for (unsigned c = 0; c < cells; ++c)
    for (unsigned char i = 0; i < 27; ++i)
      for (unsigned char j = i; j < 27; ++j)
        if (place_[27 * c + i][0] != none && place_[27 * c + i][0] == place_[27 * c + j][0])
          pairs_[c].push_back({i, j});
}

void NodeBlocks::update(const SolidOperator &op) {
  const Level &level = op.level();
  std::vector<float> values;
  std::vector<double> matrix(inverse_.size(), 0.0);
  op.bulk().kernel<float>().pair_matrices(pairs_, values);
  const float *value = values.data();
  for (unsigned c = 0; c < pairs_.size(); ++c)
    for (const auto &[i, j] : pairs_[c]) {
      const auto [block, row] = place_[27 * c + i];
      const unsigned column = place_[27 * c + j][1], n = blocks_[block].n;
      double *to = &matrix[blocks_[block].at];
      for (unsigned a = 0; a < 3; ++a)
        for (unsigned b = 0; b < 3; ++b, ++value) {
          to[(row + a) * n + column + b] += *value;
          if (i != j)
            to[(column + b) * n + row + a] += *value;
        }
    }

  // Contact, springs and the low-rank part enter by their diagonal, which is complete on every rank.
  Vector diagonal;
  op.compute_diagonal(diagonal);
  for (const Block &block : blocks_) {
    const unsigned n = block.n, rows = padded(n), *unknown = &unknown_[block.first];
    double *m = &matrix[block.at];
    for (unsigned i = 0; i < n; ++i) {
      if (level.constraints.is_constrained(diagonal.get_partitioner()->local_to_global(unknown[i])))
        for (unsigned j = 0; j < n; ++j)
          m[i * n + j] = m[j * n + i] = 0;
      m[i * n + i] = diagonal.local_element(unknown[i]);
    }
    float *to = &inverse_[block.at];
    if (invert(m, n)) {
      for (unsigned i = 0; i < n; ++i)
        for (unsigned j = 0; j < n; ++j)
          to[j * rows + i] = m[i * n + j];
    } else { // far from balance a block can be indefinite
      std::fill_n(to, n * rows, 0.0f);
      for (unsigned i = 0; i < n; ++i)
        to[i * rows + i] = 1 / diagonal.local_element(unknown[i]);
    }
  }
}

void NodeBlocks::vmult(RoughVector &dst, const RoughVector &src) const {
  const float *from = src.begin();
  float *to = dst.begin();
  for (const Block &block : blocks_) {
    const float *column = &inverse_[block.at];
    const unsigned *unknown = &unknown_[block.first];
    if (block.n == 3) {
      const float x = from[unknown[0]], y = from[unknown[1]], z = from[unknown[2]];
      for (unsigned i = 0; i < 3; ++i)
        to[unknown[i]] = column[i] * x + column[3 + i] * y + column[6 + i] * z;
      continue;
    }
    const unsigned lanes = padded(block.n) / 8;
    Lane sum[padded(3 * most_nodes) / 8] = {};
    const Lane *entry = reinterpret_cast<const Lane *>(column);
    for (unsigned j = 0; j < block.n; ++j) {
      const float x = from[unknown[j]];
      for (unsigned i = 0; i < lanes; ++i, ++entry)
        sum[i] += *entry * x;
    }
    for (unsigned i = 0; i < block.n; ++i)
      to[unknown[i]] = sum[i / 8][i % 8];
  }
}

} // namespace raybend
