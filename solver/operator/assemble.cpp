// Diagonal and matrix of the sparse part of the tangent, from the stored linearization.
#include "solver/operator/bound_compression.hpp"
#include "solver/operator/solid_operator.hpp"
#include "solver/operator/tangent_blocks.hpp"
#include "solver/operator/unit_gradients.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/fe/fe_values.h>
#include <deal.II/lac/dynamic_sparsity_pattern.h>

namespace raybend {

using namespace dealii;

void SolidOperator::compute_diagonal(Vector &diagonal) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  level_.initialize(diagonal);
  if (exact_ready_)
    exact_.add_diagonal(diagonal);
  else
    rough_.add_diagonal(diagonal);

  // Faces: shape functions by probing one component, stiffness by the three unit displacements.
  constexpr unsigned nodes = (fe_degree + 1) * (fe_degree + 1) * (fe_degree + 1);
  FaceEval inner(mf, true), outer(mf, false);
  for (unsigned face = 0; face < slots_.size(); ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind == FaceKind::none || slot.kind == FaceKind::traction)
      continue;
    const bool pair = slot.kind == FaceKind::contact;
    for (FaceEval *own : {&inner, &outer}) {
      if (own == &outer && !pair)
        continue;
      own->reinit(face);
      Tensor<1, 3> stiffness[n_q_face];
      for (unsigned q = 0; q < n_q_face; ++q)
        stiffness[q] = own->JxW(q)[0] * face_diagonal(slot, *own, q);
      double local[3 * nodes] = {};
      for (unsigned i = 0; i < nodes; ++i) {
        for (unsigned k = 0; k < 3 * nodes; ++k)
          own->begin_dof_values()[k] = 0;
        own->begin_dof_values()[i] = 1;
        own->evaluate(EvaluationFlags::values);
        for (unsigned q = 0; q < n_q_face; ++q) {
          const double n = own->get_value(q)[0][0];
          for (unsigned c = 0; c < 3; ++c)
            local[c * nodes + i] += n * n * stiffness[q][c];
        }
      }
      for (unsigned k = 0; k < 3 * nodes; ++k)
        own->begin_dof_values()[k] = local[k];
      own->distribute_local_to_global(diagonal);
    }
  }
  diagonal.compress(VectorOperation::add);
  low_rank_.add_diagonal(diagonal);
  for (unsigned i = 0; i < diagonal.locally_owned_size(); ++i)
    if (diagonal.local_element(i) <= 0)
      diagonal.local_element(i) = 1;
}

// Cell matrix, node by node:  K_(i c)(j d) = int grad N_i . A_cd grad N_j.
void SolidOperator::compute_cell_matrices(double bound, std::vector<double> &values) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  constexpr unsigned nodes = (fe_degree + 1) * (fe_degree + 1) * (fe_degree + 1), n = 3 * nodes;
  FE_Q<3> scalar(fe_degree);
  FEValues<3> fe_values(*level_.mapping, scalar, QGauss<3>(n_points_1d),
                        update_gradients | update_JxW_values);
  CellEval phi(mf);
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  unsigned place[3][nodes];
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned i = 0; i < nodes; ++i)
      place[c][i] = level_.fe.component_to_system_index(c, i);
  for (unsigned batch = 0; batch < mf.n_cell_batches(); ++batch) {
    fe_values.reinit(typename Triangulation<3>::cell_iterator(mf.get_cell_iterator(batch, 0)));
    double block[nodes][nodes][9] = {};
    for (unsigned q = 0; q < n_q; ++q) {
      const Linearized &p = linearized_[batch * n_q + q];
      Sym2 s = p.s;
      if (bound >= 0)
        bound_compression(s, bound * problem_->materials[material_[batch * n_q + q]]->initial_shear());
      Tensor2 a[9];
      for (unsigned c = 0; c < 3; ++c)
        for (unsigned d = 0; d < 3; ++d)
          tangent_block(p.f, s, p.cc, c, d, a[3 * c + d]);
      double g[nodes][3], flux[nodes][3][9];
      const double weight = fe_values.JxW(q);
      for (unsigned i = 0; i < nodes; ++i)
        for (unsigned k = 0; k < 3; ++k)
          g[i][k] = fe_values.shape_grad(i, q)[k];
      for (unsigned j = 0; j < nodes; ++j)
        for (unsigned k = 0; k < 3; ++k)
          for (unsigned cd = 0; cd < 9; ++cd)
            flux[j][k][cd] = weight * (a[cd][k][0] * g[j][0] + a[cd][k][1] * g[j][1] + a[cd][k][2] * g[j][2]);
      for (unsigned i = 0; i < nodes; ++i)
        for (unsigned j = i; j < nodes; ++j)
          for (unsigned cd = 0; cd < 9; ++cd)
            block[i][j][cd] += g[i][0] * flux[j][0][cd] + g[i][1] * flux[j][1][cd] + g[i][2] * flux[j][2][cd];
    }
    if (mixed_of_[batch] >= 0) {
      double moments[4][81];
      phi.reinit(batch);
      volume_moments(batch, phi, moments);
      const auto &h = volume_stiffness_[mixed_of_[batch]];
      for (unsigned k = 0; k < 81; ++k) {
        double half[4] = {};
        for (unsigned a = 0; a < 4; ++a)
          for (unsigned b = 0; b < 4; ++b)
            half[a] += h[a][b] * moments[b][k];
        const unsigned j = lexicographic[k % nodes];
        for (unsigned l = 0; l < 81; ++l)
          block[lexicographic[l % nodes]][j][3 * (l / nodes) + k / nodes] +=
              moments[0][l] * half[0] + moments[1][l] * half[1] + moments[2][l] * half[2] +
              moments[3][l] * half[3];
      }
    }
    const std::size_t first = values.size();
    values.resize(first + n * n);
    double *local = &values[first];
    for (unsigned i = 0; i < nodes; ++i)
      for (unsigned j = i; j < nodes; ++j)
        for (unsigned c = 0; c < 3; ++c)
          for (unsigned d = 0; d < 3; ++d) {
            local[place[c][i] * n + place[d][j]] = block[i][j][3 * c + d];
            local[place[d][j] * n + place[c][i]] = block[i][j][3 * c + d];
          }
  }
}

// Faces by probing with unit vectors: there are few.
void SolidOperator::compute_face_matrices(std::vector<double> &values) const {
  constexpr unsigned n = 3 * (fe_degree + 1) * (fe_degree + 1) * (fe_degree + 1);
  FaceEval inner(level_.matrix_free, true), outer(level_.matrix_free, false);
  for (unsigned face = 0; face < slots_.size(); ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind == FaceKind::none || slot.kind == FaceKind::traction)
      continue;
    const bool pair = slot.kind == FaceKind::contact;
    const unsigned size = pair ? 2 * n : n;
    inner.reinit(face);
    if (pair)
      outer.reinit(face);
    const std::size_t first = values.size();
    values.resize(first + size * size);
    for (unsigned j = 0; j < size; ++j) {
      for (unsigned k = 0; k < n; ++k) {
        inner.begin_dof_values()[k] = 0;
        if (pair)
          outer.begin_dof_values()[k] = 0;
      }
      (j < n ? inner : outer).begin_dof_values()[j % n] = 1;
      inner.evaluate(EvaluationFlags::values);
      if (pair) {
        outer.evaluate(EvaluationFlags::values);
        tangent_face_pair(slot, inner, outer);
        outer.integrate(EvaluationFlags::values);
      } else {
        tangent_face(slot, inner);
      }
      inner.integrate(EvaluationFlags::values);
      for (unsigned i = 0; i < size; ++i)
        values[first + i * size + j] = (i < n ? inner : outer).begin_dof_values()[i % n][0];
    }
  }
}

// For each block of values above: its size, then its unknowns.
void SolidOperator::list_blocks(std::vector<unsigned> &indices) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  constexpr unsigned n = 3 * (fe_degree + 1) * (fe_degree + 1) * (fe_degree + 1);
  std::vector<types::global_dof_index> index(n);
  for (unsigned batch = 0; batch < mf.n_cell_batches(); ++batch) {
    mf.get_cell_iterator(batch, 0)->get_dof_indices(index);
    indices.push_back(n);
    indices.insert(indices.end(), index.begin(), index.end());
  }
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  for (unsigned face = 0; face < slots_.size(); ++face) {
    if (slots_[face].kind == FaceKind::none || slots_[face].kind == FaceKind::traction)
      continue;
    const bool pair = slots_[face].kind == FaceKind::contact;
    indices.push_back(pair ? 2 * n : n);
    for (const bool interior : {true, false}) {
      if (!interior && !pair)
        continue;
      const auto cell = mf.get_face_iterator(face, 0, interior).first;
      DoFCellAccessor<3, 3, false>(&level_.triangulation, cell->level(), cell->index(), &level_.dofs)
          .get_dof_indices(index);
      for (unsigned c = 0; c < 3; ++c)
        for (unsigned i = 0; i < n / 3; ++i)
          indices.push_back(index[level_.fe.component_to_system_index(c, lexicographic[i])]);
    }
  }
}

void SolidOperator::assemble(SparsityPattern &pattern, SparseMatrix<double> &matrix, double bound) const {
  AffineConstraints<double> constraints; // the fixed unknowns of all ranks
  std::vector<types::global_dof_index> fixed;
  for (const auto &line : level_.constraints.get_lines())
    fixed.push_back(line.index);
  for (const auto &list : Utilities::MPI::all_gather(level_.comm, fixed))
    for (const auto i : list)
      constraints.add_line(i);
  constraints.close();

  const bool first_time = pattern.n_rows() != m();
  if (first_time) {
    std::vector<unsigned> own;
    list_blocks(own);
    blocks_.clear();
    block_counts_.clear();
    DynamicSparsityPattern dynamic(m());
    for (const auto &list : Utilities::MPI::all_gather(level_.comm, own)) {
      int entries = 0;
      for (std::size_t at = 0; at < list.size(); at += 1 + list[at]) {
        const std::vector<types::global_dof_index> dofs(list.begin() + at + 1,
                                                        list.begin() + at + 1 + list[at]);
        blocks_.emplace_back(dofs.begin(), dofs.end());
        entries += list[at] * list[at];
        constraints.add_entries_local_to_global(dofs, dynamic, true);
      }
      block_counts_.push_back(entries);
    }
    pattern.copy_from(dynamic);
    matrix.reinit(pattern);
  }

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
  matrix = 0;
  std::size_t at = 0;
  FullMatrix<double> local;
  std::vector<types::global_dof_index> dofs;
  for (const auto &block : blocks_) {
    dofs.assign(block.begin(), block.end());
    local.reinit(dofs.size(), dofs.size(), true);
    std::copy_n(&all[at], dofs.size() * dofs.size(), &local(0, 0));
    at += dofs.size() * dofs.size();
    constraints.distribute_local_to_global(local, dofs, matrix);
  }
}

} // namespace raybend
