// The cells' part of a tangent as a fast matrix-free product: several cells at once in the processor's lanes.
#include "solver/kernel/cell_kernel.hpp"
#include "solver/kernel/line_shapes.hpp"
#include "solver/kernel/unit_gradients.hpp"

namespace raybend {

using namespace dealii;

template <typename Number>
void CellKernel<Number>::reinit(const Level &level, const std::vector<PointForm> &form) {
  const MatrixFree<3, double> &mf = level.matrix_free;
  for (unsigned q = 0; q < 3; ++q)
    for (unsigned i = 0; i < 3; ++i) {
      shape_[q][i] = line_shapes().value[q][i];
      slope_[q][i] = line_shapes().slope[q][i];
    }

  const unsigned batches = mf.n_cell_batches();
  place_.assign(batches, {0, 0});
  groups_.clear();
  std::size_t size = 0;
  unsigned volume_size = 0;
  for (unsigned kind = 0; kind < point_forms; ++kind) {
    unsigned in_group = lanes;
    for (unsigned c = 0; c < batches; ++c) {
      if (static_cast<unsigned>(form[c]) != kind)
        continue;
      if (in_group == lanes) {
        groups_.push_back({form[c], size, volume_size});
        size += points * numbers_of(form[c]);
        volume_size += form[c] == PointForm::mixed ? 10 : 0;
        in_group = 0;
      }
      place_[c] = {static_cast<unsigned>(groups_.size() - 1), in_group++};
    }
  }

  const auto &partitioner = *mf.get_vector_partitioner();
  index_.assign(groups_.size() * 81 * lanes, level.local_entries());
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  std::vector<types::global_dof_index> global(81);
  for (unsigned c = 0; c < batches; ++c) {
    mf.get_cell_iterator(c, 0)->get_dof_indices(global);
    const auto [group, l] = place_[c];
    for (unsigned i = 0; i < 81; ++i) {
      const auto k = global[level.fe.component_to_system_index(i / 27, lexicographic[i % 27])];
      if (!level.constraints.is_constrained(k))
        index_[(std::size_t(group) * 81 + i) * lanes + l] = partitioner.global_to_local(k);
    }
  }
  numbers_.resize_fast(0);
  numbers_.resize(size * lanes, Number());
  volume_.resize_fast(0);
  volume_.resize(volume_size * lanes, Number());
}

template <typename Number>
void CellKernel<Number>::set_point(unsigned batch, unsigned q, const PointNumbers &a) {
  const auto [group, l] = place_[batch];
  const unsigned n = numbers_of(groups_[group].form);
  Number *to = &numbers_[(groups_[group].at + q * n) * lanes + l];
  for (unsigned k = 0; k < n; ++k)
    to[k * lanes] = a[k];
}

template <typename Number>
void CellKernel<Number>::set_volume_stiffness(unsigned batch, const std::array<std::array<double, 4>, 4> &h) {
  const auto [group, l] = place_[batch];
  for (unsigned i = 0; i < 4; ++i)
    for (unsigned j = i; j < 4; ++j)
      volume_[(groups_[group].volume + packed(4, i, j)) * lanes + l] = h[i][j];
}

template <typename Number>
template <PointForm form>
void CellKernel<Number>::stress_change(const Group &group, Lane (&g)[points][9]) const {
  using P = PointPlace;
  constexpr unsigned count = numbers_of(form);
  const Lane *n = numbers(group);
  if constexpr (form == PointForm::any) {
    for (unsigned q = 0; q < points; ++q) {
      Lane t[9];
      for (unsigned i = 0; i < 9; ++i)
        t[i] = Lane{};
#pragma GCC unroll 9
      for (unsigned i = 0; i < 9; ++i) {
        t[i] += *n++ * g[q][i];
#pragma GCC unroll 9
        for (unsigned j = i + 1; j < 9; ++j, ++n) {
          t[i] += *n * g[q][j];
          t[j] += *n * g[q][i];
        }
      }
      for (unsigned i = 0; i < 9; ++i)
        g[q][i] = t[i];
    }
  } else {
    // Volume change over J at the points, and for a mixed cell the pressure that its moments give.
    Lane change[points], pressure[4] = {};
    for (unsigned q = 0; q < points; ++q) {
      const Lane *k = n + q * count + P::k;
      change[q] = k[0] * g[q][0];
      for (unsigned i = 1; i < 9; ++i)
        change[q] += k[i] * g[q][i];
    }
    if constexpr (form == PointForm::mixed) {
      Lane sum[4] = {};
      for (unsigned q = 0; q < points; ++q) {
        const Lane *p = n + q * count, weighted = p[P::volume] * change[q];
        sum[0] += weighted;
        for (unsigned k = 0; k < 3; ++k)
          sum[k + 1] += p[P::moment + k] * weighted;
      }
      const Lane *h = volume(group);
      for (unsigned i = 0; i < 4; ++i)
        for (unsigned j = 0; j < 4; ++j)
          pressure[i] += h[packed_either(4, i, j)] * sum[j];
    }
    for (unsigned q = 0; q < points; ++q, n += count) {
      Lane t[9], more{};
      if constexpr (form == PointForm::mixed)
        more = pressure[0] + n[P::moment] * pressure[1] + n[P::moment + 1] * pressure[2] +
               n[P::moment + 2] * pressure[3];
      point_product<form>(n, g[q], change[q], more, t);
      for (unsigned i = 0; i < 9; ++i)
        g[q][i] = t[i];
    }
  }
}

template <typename Number> void CellKernel<Number>::add_product(const Number *x, Number *y) const {
  const Number(&n)[3][3] = shape_, (&d)[3][3] = slope_;
  for (std::size_t group = 0; group < groups_.size(); ++group) {
    const unsigned *index = &index_[group * 81 * lanes];
    Lane u[81], g[points][9];
    for (unsigned i = 0; i < 81; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        u[i][l] = x[index[i * lanes + l]];

    // Gradients in unit coordinates, one direction after another.
    for (unsigned c = 0; c < 3; ++c) {
      Lane xn[27], xd[27], nn[27], dn[27], nd[27]; // letters: value or slope along x, then y
      for (unsigned row = 0; row < 9; ++row)
        for (unsigned q = 0; q < 3; ++q) {
          const Lane *v = &u[27 * c + 3 * row];
          xn[3 * row + q] = n[q][0] * v[0] + n[q][1] * v[1] + n[q][2] * v[2];
          xd[3 * row + q] = d[q][0] * v[0] + d[q][1] * v[1] + d[q][2] * v[2];
        }
      for (unsigned z = 0; z < 3; ++z)
        for (unsigned q = 0; q < 3; ++q)
          for (unsigned x = 0; x < 3; ++x) {
            const Lane *v = &xn[9 * z + x], *w = &xd[9 * z + x];
            nn[9 * z + 3 * q + x] = n[q][0] * v[0] + n[q][1] * v[3] + n[q][2] * v[6];
            nd[9 * z + 3 * q + x] = d[q][0] * v[0] + d[q][1] * v[3] + d[q][2] * v[6];
            dn[9 * z + 3 * q + x] = n[q][0] * w[0] + n[q][1] * w[3] + n[q][2] * w[6];
          }
      for (unsigned q = 0; q < 3; ++q)
        for (unsigned p = 0; p < 9; ++p) {
          Lane *to = &g[9 * q + p][3 * c];
          to[0] = n[q][0] * dn[p] + n[q][1] * dn[9 + p] + n[q][2] * dn[18 + p];
          to[1] = n[q][0] * nd[p] + n[q][1] * nd[9 + p] + n[q][2] * nd[18 + p];
          to[2] = d[q][0] * nn[p] + d[q][1] * nn[9 + p] + d[q][2] * nn[18 + p];
        }
    }

    switch (groups_[group].form) {
    case PointForm::volume:
      stress_change<PointForm::volume>(groups_[group], g);
      break;
    case PointForm::invariant:
      stress_change<PointForm::invariant>(groups_[group], g);
      break;
    case PointForm::mixed:
      stress_change<PointForm::mixed>(groups_[group], g);
      break;
    case PointForm::any:
      stress_change<PointForm::any>(groups_[group], g);
    }

    // The transposes in reverse order.
    for (unsigned c = 0; c < 3; ++c) {
      Lane xn[27], xd[27], nn[27], dn[27], nd[27];
      for (unsigned z = 0; z < 3; ++z)
        for (unsigned p = 0; p < 9; ++p) {
          const Lane *v0 = &g[p][3 * c], *v1 = &g[9 + p][3 * c], *v2 = &g[18 + p][3 * c];
          dn[9 * z + p] = n[0][z] * v0[0] + n[1][z] * v1[0] + n[2][z] * v2[0];
          nd[9 * z + p] = n[0][z] * v0[1] + n[1][z] * v1[1] + n[2][z] * v2[1];
          nn[9 * z + p] = d[0][z] * v0[2] + d[1][z] * v1[2] + d[2][z] * v2[2];
        }
      for (unsigned z = 0; z < 3; ++z)
        for (unsigned y = 0; y < 3; ++y)
          for (unsigned x = 0; x < 3; ++x) {
            const unsigned o = 9 * z + x;
            xd[9 * z + 3 * y + x] = n[0][y] * dn[o] + n[1][y] * dn[o + 3] + n[2][y] * dn[o + 6];
            xn[9 * z + 3 * y + x] = n[0][y] * nn[o] + n[1][y] * nn[o + 3] + n[2][y] * nn[o + 6] +
                                    d[0][y] * nd[o] + d[1][y] * nd[o + 3] + d[2][y] * nd[o + 6];
          }
      for (unsigned row = 0; row < 9; ++row)
        for (unsigned i = 0; i < 3; ++i) {
          const Lane *v = &xn[3 * row], *w = &xd[3 * row];
          u[27 * c + 3 * row + i] = n[0][i] * v[0] + n[1][i] * v[1] + n[2][i] * v[2] + d[0][i] * w[0] +
                                    d[1][i] * w[1] + d[2][i] * w[2];
        }
    }
    for (unsigned i = 0; i < 81; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        y[index[i * lanes + l]] += u[i][l];
  }
}

template <typename Number> void CellKernel<Number>::expand(const Group &group, Lane (&a)[points][45]) const {
  const Lane *from = numbers(group);
  for (unsigned q = 0; q < points; ++q, from += numbers_of(group.form))
    if (group.form == PointForm::any)
      std::copy_n(from, 45, a[q]);
    else
      expand_point(group.form, from, a[q]);
}

template <typename Number>
void CellKernel<Number>::pair_matrices(const NodePairs &pairs, std::vector<Number> &values) const {
  const UnitGradients &gradients = unit_shape_gradients();
  std::vector<std::size_t> first(pairs.size() + 1, values.size()); // of each cell, into values
  for (std::size_t c = 0; c < pairs.size(); ++c)
    first[c + 1] = first[c] + 9 * pairs[c].size();
  values.resize(first.back());
  std::vector<unsigned> cell(groups_.size() * lanes, numbers::invalid_unsigned_int);
  for (unsigned c = 0; c < place_.size(); ++c)
    cell[place_[c][0] * lanes + place_[c][1]] = c;

  AlignedVector<Number> store(nodes * nodes * 9 *
                              lanes); // of every pair (i, j) that any cell of a group wants
  Lane *const sum = reinterpret_cast<Lane *>(store.data());
  Lane a[points][45], flux[points][9][3]; // A grad N_j e_d
  for (std::size_t group = 0; group < groups_.size(); ++group) {
    std::vector<unsigned char> partners[nodes]; // i of each j
    bool wanted[nodes][nodes] = {};
    for (unsigned l = 0; l < lanes; ++l)
      if (const unsigned c = cell[group * lanes + l]; c != numbers::invalid_unsigned_int)
        for (const auto &[i, j] : pairs[c])
          if (!wanted[i][j]) {
            wanted[i][j] = true;
            partners[j].push_back(i);
          }
    expand(groups_[group], a);
    for (unsigned j = 0; j < nodes; ++j) {
      if (partners[j].empty())
        continue;
      for (unsigned q = 0; q < points; ++q) {
        const Number g[3] = {Number(gradients[q][j][0]), Number(gradients[q][j][1]),
                             Number(gradients[q][j][2])};
        for (unsigned row = 0; row < 9; ++row)
          for (unsigned d = 0; d < 3; ++d)
            flux[q][row][d] = g[0] * a[q][packed_either(9, row, 3 * d)] +
                              g[1] * a[q][packed_either(9, row, 3 * d + 1)] +
                              g[2] * a[q][packed_either(9, row, 3 * d + 2)];
      }
      for (const unsigned char i : partners[j]) {
        Lane k[9];
        for (unsigned n = 0; n < 9; ++n)
          k[n] = Lane{};
        for (unsigned q = 0; q < points; ++q) {
          const Number x = gradients[q][i][0], y = gradients[q][i][1], z = gradients[q][i][2];
          for (unsigned c = 0; c < 3; ++c)
            for (unsigned d = 0; d < 3; ++d)
              k[3 * c + d] += x * flux[q][3 * c][d] + y * flux[q][3 * c + 1][d] + z * flux[q][3 * c + 2][d];
        }
        std::copy_n(k, 9, sum + 9 * (nodes * i + j));
      }
    }
    if (groups_[group].form == PointForm::mixed) {
      Lane moment[4][nodes][3];
      volume_moments(groups_[group], moment);
      const Lane *h = volume(groups_[group]);
      for (unsigned j = 0; j < nodes; ++j) {
        Lane pressure[4][3]; // H times the moments of node j
        for (unsigned m = 0; m < 4; ++m)
          for (unsigned d = 0; d < 3; ++d) {
            pressure[m][d] = h[packed_either(4, m, 0)] * moment[0][j][d];
            for (unsigned n = 1; n < 4; ++n)
              pressure[m][d] += h[packed_either(4, m, n)] * moment[n][j][d];
          }
        for (const unsigned char i : partners[j])
          for (unsigned c = 0; c < 3; ++c)
            for (unsigned d = 0; d < 3; ++d)
              for (unsigned m = 0; m < 4; ++m)
                sum[9 * (nodes * i + j) + 3 * c + d] += moment[m][i][c] * pressure[m][d];
      }
    }
    for (unsigned l = 0; l < lanes; ++l)
      if (const unsigned c = cell[group * lanes + l]; c != numbers::invalid_unsigned_int) {
        Number *to = &values[first[c]];
        for (const auto &[i, j] : pairs[c]) {
          const Lane *from = sum + 9 * (nodes * i + j);
          for (unsigned k = 0; k < 9; ++k)
            *to++ = from[k][l];
        }
      }
  }
}

template <typename Number>
void CellKernel<Number>::volume_moments(const Group &group, Lane (&moment)[4][nodes][3]) const {
  using P = PointPlace;
  const UnitGradients &gradients = unit_shape_gradients();
  const Lane *n = numbers(group);
  for (auto &row : moment)
    for (auto &node : row)
      for (Lane &entry : node)
        entry = Lane{};
  for (unsigned q = 0; q < points; ++q, n += numbers_of(PointForm::mixed))
    for (unsigned i = 0; i < nodes; ++i)
      for (unsigned c = 0; c < 3; ++c) {
        Lane change = {};
        for (unsigned k = 0; k < 3; ++k)
          change += Number(gradients[q][i][k]) * n[P::k + 3 * c + k];
        change *= n[P::volume];
        moment[0][i][c] += change;
        for (unsigned k = 0; k < 3; ++k)
          moment[k + 1][i][c] += n[P::moment + k] * change;
      }
}

template <typename Number> void CellKernel<Number>::add_diagonal(double *sum) const {
  const UnitGradients &gradients = unit_shape_gradients();
  Lane a[points][45];
  for (std::size_t group = 0; group < groups_.size(); ++group) {
    Lane local[81] = {};
    expand(groups_[group], a);
    for (unsigned q = 0; q < points; ++q)
      for (unsigned i = 0; i < nodes; ++i) {
        const Number x = gradients[q][i][0], y = gradients[q][i][1], z = gradients[q][i][2];
        for (unsigned c = 0; c < 3; ++c) {
          const unsigned k = 3 * c;
          local[c * nodes + i] += x * x * a[q][packed(9, k, k)] + y * y * a[q][packed(9, k + 1, k + 1)] +
                                  z * z * a[q][packed(9, k + 2, k + 2)] +
                                  2 * (x * y * a[q][packed(9, k, k + 1)] + x * z * a[q][packed(9, k, k + 2)] +
                                       y * z * a[q][packed(9, k + 1, k + 2)]);
        }
      }
    if (groups_[group].form == PointForm::mixed) {
      Lane moment[4][nodes][3];
      volume_moments(groups_[group], moment);
      const Lane *h = volume(groups_[group]);
      for (unsigned i = 0; i < nodes; ++i)
        for (unsigned c = 0; c < 3; ++c)
          for (unsigned m = 0; m < 4; ++m)
            for (unsigned n = 0; n < 4; ++n)
              local[c * nodes + i] += moment[m][i][c] * h[packed_either(4, m, n)] * moment[n][i][c];
    }
    const unsigned *index = &index_[group * 81 * lanes];
    for (unsigned i = 0; i < 81; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        sum[index[i * lanes + l]] += local[i][l];
  }
}

template class CellKernel<double>;
template class CellKernel<float>;

} // namespace raybend
