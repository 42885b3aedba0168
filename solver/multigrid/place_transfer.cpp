// Transfer between a level and the one below by place.
#include "solver/multigrid/place_transfer.hpp"
#include <algorithm>
#include <deal.II/base/mpi.h>
#include <map>
#include <set>

namespace raybend {

using namespace dealii;

namespace {

using Place =
    std::array<long, 3>; // of a cell's centre in the logical frame, which names the cell on any rank

Place place_of(const Triangulation<3>::cell_iterator &cell) {
  const Point<3> centre = cell->center();
  return {std::lround(centre[0] * 1e5), std::lround(centre[1] * 1e5), std::lround(centre[2] * 1e5)};
}

/// A coarse cell: unknowns and places of its nodes, lexicographic, first direction fastest.
struct CoarseCell {
  Place place;
  std::array<std::array<types::global_dof_index, 3>, 27> unknown;
  std::array<Vec3, 27> position;

  template <typename Archive> void serialize(Archive &a, unsigned) { a &place &unknown &position; }
};

std::map<Place, CoarseCell> coarse_cells(const Level &coarse) {
  const auto &order = coarse.matrix_free.get_shape_info().lexicographic_numbering;
  std::vector<CoarseCell> own;
  std::vector<types::global_dof_index> index(coarse.fe.n_dofs_per_cell());
  for (const auto &cell : coarse.dofs.active_cell_iterators())
    if (cell->is_locally_owned()) {
      cell->get_dof_indices(index);
      CoarseCell c;
      c.place = place_of(cell);
      for (unsigned k = 0; k < 27; ++k)
        for (unsigned d = 0; d < 3; ++d) {
          c.unknown[k][d] = index[order[27 * d + k]];
          c.position[k][d] = coarse.position[c.unknown[k][d]];
        }
      own.push_back(c);
    }
  std::map<Place, CoarseCell> all;
  for (const auto &list : Utilities::MPI::all_gather(coarse.comm, own))
    for (const CoarseCell &c : list)
      all.emplace(c.place, c);
  return all;
}

/// The 27 shape functions and their derivatives at xi.
struct Shapes {
  std::array<double, 27> value;
  std::array<Tensor<1, 3>, 27> gradient;

  explicit Shapes(const Point<3> &xi) {
    double n[3][3], d[3][3];
    for (unsigned a = 0; a < 3; ++a) {
      const double x = xi[a];
      n[a][0] = (1 - x) * (1 - 2 * x), n[a][1] = 4 * x * (1 - x), n[a][2] = x * (2 * x - 1);
      d[a][0] = 4 * x - 3, d[a][1] = 4 - 8 * x, d[a][2] = 4 * x - 1;
    }
    for (unsigned k = 0; k < 27; ++k) {
      const unsigned i = k % 3, j = k / 3 % 3, l = k / 9;
      value[k] = n[0][i] * n[1][j] * n[2][l];
      gradient[k] = Tensor<1, 3>(
          {d[0][i] * n[1][j] * n[2][l], n[0][i] * d[1][j] * n[2][l], n[0][i] * n[1][j] * d[2][l]});
    }
  }
};

/// Coordinates in `cell` of the place x, by Newton's method from `start`; `start` itself where the place is
/// more than half a fine cell from there.
Point<3> coordinates(const CoarseCell &cell, const Vec3 &x, const Point<3> &start) {
  Point<3> xi = start;
  for (unsigned step = 0; step < 4; ++step) {
    const Shapes shapes(xi);
    Tensor<1, 3> off({x[0], x[1], x[2]});
    Tensor<2, 3> jacobian;
    for (unsigned k = 0; k < 27; ++k)
      for (unsigned d = 0; d < 3; ++d) {
        off[d] -= shapes.value[k] * cell.position[k][d];
        jacobian[d] += cell.position[k][d] * shapes.gradient[k];
      }
    const Tensor<1, 3> change = invert(jacobian) * off;
    xi += change;
    if (!(xi.distance(start) < 0.25))
      return start;
    if (change.norm() < 1e-8)
      break;
  }
  return xi;
}

} // namespace

void PlaceTransfer::reinit(const SolidOperator &op, const Level &coarse) {
  const Level &fine = op.level();
  const std::map<Place, CoarseCell> cells = coarse_cells(coarse);
  const auto &order = fine.matrix_free.get_shape_info().lexicographic_numbering;
  const Utilities::MPI::Partitioner &owner = *fine.position.get_partitioner();

  // The stiffest cell of each node of this rank, among this rank's cells and their neighbours.
  struct Best {
    double stiffness = -1;
    const CoarseCell *cell = nullptr;
    Point<3> xi;
    Node node;
  };
  std::vector<Best> best(owner.locally_owned_size());
  std::vector<types::global_dof_index> index(fine.fe.n_dofs_per_cell());
  for (const auto &cell : fine.dofs.active_cell_iterators()) {
    if (cell->is_artificial())
      continue;
    cell->get_dof_indices(index);
    const Vec3 centre = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5));
    const double stiffness =
        op.problem().materials[op.problem().material_at(centre, cell->material_id())]->initial_shear();
    const CoarseCell &parent = cells.at(place_of(cell->parent()));
    unsigned child = 0;
    while (cell->parent()->child(child) != cell)
      ++child;
    for (unsigned k = 0; k < 27; ++k) {
      const auto first = index[order[k]];
      if (!owner.in_local_range(first))
        continue;
      Best &b = best[owner.global_to_local(first)];
      if (stiffness <= b.stiffness)
        continue;
      b.stiffness = stiffness;
      b.cell = &parent;
      for (unsigned d = 0; d < 3; ++d)
        b.node[d] = owner.global_to_local(index[order[27 * d + k]]);
      const unsigned at[3] = {k % 3, k / 3 % 3, k / 9};
      for (unsigned d = 0; d < 3; ++d)
        b.xi[d] = 0.5 * (0.5 * at[d] + (child >> d & 1));
    }
  }

  std::set<const CoarseCell *> used;
  for (const Best &b : best)
    if (b.cell)
      used.insert(b.cell);
  std::vector<types::global_dof_index> list;
  for (const CoarseCell *cell : used)
    for (const auto &node : cell->unknown)
      list.insert(list.end(), node.begin(), node.end());
  std::sort(list.begin(), list.end());
  list.erase(std::unique(list.begin(), list.end()), list.end());
  IndexSet needed(coarse.dofs.n_dofs());
  needed.add_indices(list.begin(), list.end());
  needed.compress();
  const auto partition = std::make_shared<Utilities::MPI::Partitioner>(
      coarse.position.get_partitioner()->locally_owned_range(), needed, coarse.comm);
  coarse_.reinit(partition);

  rows_.clear();
  columns_.clear();
  std::map<types::global_dof_index, unsigned> column;
  for (const Best &b : best) {
    if (!b.cell)
      continue;
    Row row;
    row.node = b.node;
    Vec3 x;
    for (unsigned d = 0; d < 3; ++d)
      x[d] = fine.position.local_element(b.node[d]);
    const Shapes shapes(coordinates(*b.cell, x, b.xi));
    for (unsigned k = 0; k < 27; ++k) {
      const auto [it, fresh] = column.emplace(b.cell->unknown[k][0], columns_.size());
      if (fresh) {
        Node node;
        for (unsigned d = 0; d < 3; ++d)
          node[d] = partition->global_to_local(b.cell->unknown[k][d]);
        columns_.push_back(node);
      }
      row.column[k] = it->second;
      row.weight[k] = shapes.value[k];
    }
    rows_.push_back(row);
  }
}

void PlaceTransfer::prolongate_and_add(Vector &fine, const Vector &coarse) const {
  coarse_.zero_out_ghost_values();
  for (unsigned i = 0; i < coarse.locally_owned_size(); ++i)
    coarse_.local_element(i) = coarse.local_element(i);
  coarse_.update_ghost_values();
  for (const Row &row : rows_) {
    double sum[3] = {0, 0, 0};
    for (unsigned k = 0; k < n_nodes; ++k) {
      const Node &from = columns_[row.column[k]];
      for (unsigned d = 0; d < 3; ++d)
        sum[d] += row.weight[k] * coarse_.local_element(from[d]);
    }
    for (unsigned d = 0; d < 3; ++d)
      fine.local_element(row.node[d]) += sum[d];
  }
}

void PlaceTransfer::restrict_and_add(Vector &coarse, const Vector &fine) const {
  coarse_ = 0;
  coarse_.zero_out_ghost_values();
  for (const Row &row : rows_) {
    double value[3];
    for (unsigned d = 0; d < 3; ++d)
      value[d] = fine.local_element(row.node[d]);
    for (unsigned k = 0; k < n_nodes; ++k) {
      const Node &to = columns_[row.column[k]];
      for (unsigned d = 0; d < 3; ++d)
        coarse_.local_element(to[d]) += row.weight[k] * value[d];
    }
  }
  coarse_.compress(VectorOperation::add);
  for (unsigned i = 0; i < coarse.locally_owned_size(); ++i)
    coarse.local_element(i) += coarse_.local_element(i);
}

} // namespace raybend
