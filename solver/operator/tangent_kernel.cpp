#include "solver/operator/tangent_kernel.hpp"
#include "solver/operator/unit_gradients.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>

namespace raybend {

using namespace dealii;

namespace {
// Place of (i, j), i <= j, in the rows of the upper triangle of an n x n matrix.
constexpr unsigned packed(unsigned n, unsigned i, unsigned j) {
  return i * n - i * (i + 1) / 2 + j;
}
// The same for any order of i and j.
constexpr unsigned packed_either(unsigned n, unsigned i, unsigned j) {
  return i <= j ? packed(n, i, j) : packed(n, j, i);
}
} // namespace

template <typename Number>
void TangentKernel<Number>::reinit(const Level &level, const std::vector<char> &mixed) {
  const MatrixFree<3, double> &mf = level.matrix_free;
  const FE_Q<1> line(fe_degree);
  const QGauss<1> gauss(n_points_1d);
  const std::vector<unsigned> along = FETools::lexicographic_to_hierarchic_numbering<1>(fe_degree);
  for (unsigned q = 0; q < 3; ++q)
    for (unsigned i = 0; i < 3; ++i) {
      shape_[q][i] = line.shape_value(along[i], gauss.point(q));
      slope_[q][i] = line.shape_grad(along[i], gauss.point(q))[0];
    }

  const unsigned batches = mf.n_cell_batches();
  place_.assign(batches, {0, 0});
  groups_ = 0;
  for (const char kind : {0, 1}) {
    unsigned in_group = lanes;
    if (kind == 1)
      first_mixed_ = groups_;
    for (unsigned c = 0; c < batches; ++c) {
      if (mixed[c] != kind)
        continue;
      if (in_group == lanes) {
        ++groups_;
        in_group = 0;
      }
      place_[c] = {groups_ - 1, in_group++};
    }
  }

  const auto &partitioner = *mf.get_vector_partitioner();
  entries_ = partitioner.locally_owned_size() + partitioner.n_ghost_indices();
  index_.assign(std::size_t(groups_) * 81 * lanes, entries_);
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
  stiffness_.resize_fast(0);
  stiffness_.resize(std::size_t(groups_) * points * 45 * lanes, Number());
  const std::size_t mixed_groups = groups_ - first_mixed_;
  cofactor_.resize_fast(0);
  cofactor_.resize(mixed_groups * points * 9 * lanes, Number());
  moment_.resize_fast(0);
  moment_.resize(mixed_groups * points * 3 * lanes, Number());
  volume_.resize_fast(0);
  volume_.resize(mixed_groups * 10 * lanes, Number());
  x_.assign(entries_ + 1, 0);
  y_.assign(entries_ + 1, 0);
}

template <typename Number>
void TangentKernel<Number>::set_point(unsigned batch, unsigned q, const Tensor2 (&a)[3][3],
                                      const Tensor2 &inverse, double weight) {
  const auto [group, l] = place_[batch];
  const std::size_t at = (std::size_t(group) * points + q) * 45;
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned d = c; d < 3; ++d) {
      const Tensor2 unit = weight * (transpose(inverse) * a[c][d] * inverse);
      for (unsigned k = 0; k < 3; ++k)
        for (unsigned m = c == d ? k : 0; m < 3; ++m)
          *lane(stiffness_, at + packed(9, 3 * c + k, 3 * d + m), l) = unit[k][m];
    }
}

template <typename Number>
void TangentKernel<Number>::set_volume_point(unsigned batch, unsigned q, const Tensor2 &cofactor,
                                             const Tensor2 &inverse, double weight,
                                             const std::array<double, 4> &n) {
  const auto [group, l] = place_[batch];
  const std::size_t at = std::size_t(group - first_mixed_) * points + q;
  const Tensor2 unit = weight * (cofactor * inverse);
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned k = 0; k < 3; ++k)
      *lane(cofactor_, at * 9 + 3 * c + k, l) = unit[c][k];
  for (unsigned k = 0; k < 3; ++k)
    *lane(moment_, at * 3 + k, l) = n[k + 1];
}

template <typename Number>
void TangentKernel<Number>::set_volume_stiffness(unsigned batch,
                                                 const std::array<std::array<double, 4>, 4> &h) {
  const auto [group, l] = place_[batch];
  for (unsigned i = 0; i < 4; ++i)
    for (unsigned j = i; j < 4; ++j)
      *lane(volume_, std::size_t(group - first_mixed_) * 10 + packed(4, i, j), l) = h[i][j];
}

template <typename Number> void TangentKernel<Number>::vmult_add(Vector &dst, const Vector &src) const {
  const double *from = src.begin();
  for (unsigned i = 0; i < entries_; ++i) {
    x_[i] = from[i];
    y_[i] = 0;
  }
  const Number(&n)[3][3] = shape_, (&d)[3][3] = slope_;
  for (unsigned group = 0; group < groups_; ++group) {
    const unsigned *index = &index_[std::size_t(group) * 81 * lanes];
    Lane u[81], g[points][9];
    for (unsigned i = 0; i < 81; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        u[i][l] = x_[index[i * lanes + l]];

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

    const Lane *a = reinterpret_cast<const Lane *>(stiffness_.data()) + std::size_t(group) * points * 45;
    const bool mixed = group >= first_mixed_;
    const std::size_t m = group - first_mixed_;
    const Lane *cofactor = reinterpret_cast<const Lane *>(cofactor_.data()) + (mixed ? m * points * 9 : 0);
    const Lane *moment = reinterpret_cast<const Lane *>(moment_.data()) + (mixed ? m * points * 3 : 0);
    Lane pressure[4] = {};
    if (mixed) {
      Lane sum[4] = {};
      for (unsigned q = 0; q < points; ++q) {
        Lane change = cofactor[9 * q] * g[q][0];
        for (unsigned k = 1; k < 9; ++k)
          change += cofactor[9 * q + k] * g[q][k];
        sum[0] += change;
        for (unsigned k = 0; k < 3; ++k)
          sum[k + 1] += moment[3 * q + k] * change;
      }
      const Lane *h = reinterpret_cast<const Lane *>(volume_.data()) + m * 10;
      for (unsigned i = 0; i < 4; ++i)
        for (unsigned j = 0; j < 4; ++j)
          pressure[i] += h[packed_either(4, i, j)] * sum[j];
    }
    for (unsigned q = 0; q < points; ++q, a += 45) {
      Lane t[9];
      unsigned k = 0;
      for (unsigned i = 0; i < 9; ++i)
        t[i] = Lane{};
#pragma GCC unroll 9
      for (unsigned i = 0; i < 9; ++i) {
        t[i] += a[k++] * g[q][i];
#pragma GCC unroll 9
        for (unsigned j = i + 1; j < 9; ++j, ++k) {
          t[i] += a[k] * g[q][j];
          t[j] += a[k] * g[q][i];
        }
      }
      if (mixed) {
        const Lane p = pressure[0] + moment[3 * q] * pressure[1] + moment[3 * q + 1] * pressure[2] +
                       moment[3 * q + 2] * pressure[3];
        for (unsigned i = 0; i < 9; ++i)
          t[i] += p * cofactor[9 * q + i];
      }
      for (unsigned i = 0; i < 9; ++i)
        g[q][i] = t[i];
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
        y_[index[i * lanes + l]] += u[i][l];
  }
  double *to = dst.begin();
  for (unsigned i = 0; i < entries_; ++i)
    to[i] += y_[i];
}

template <typename Number>
void TangentKernel<Number>::pair_matrices(const NodePairs &pairs, std::vector<Number> &values) const {
  const UnitGradients &gradients = unit_shape_gradients();
  std::vector<std::size_t> first(pairs.size() + 1, 0); // of each cell, into values
  for (std::size_t c = 0; c < pairs.size(); ++c)
    first[c + 1] = first[c] + 9 * pairs[c].size();
  values.resize(first.back());
  std::vector<unsigned> cell(std::size_t(groups_) * lanes, numbers::invalid_unsigned_int);
  for (unsigned c = 0; c < place_.size(); ++c)
    cell[place_[c][0] * lanes + place_[c][1]] = c;

  std::vector<std::array<unsigned char, 2>> wanted; // by any cell of the group
  AlignedVector<Number> store;
  for (unsigned group = 0; group < groups_; ++group) {
    int number[nodes][nodes]; // of a pair in `wanted`
    std::fill_n(&number[0][0], nodes * nodes, -1);
    wanted.clear();
    for (unsigned l = 0; l < lanes; ++l)
      if (const unsigned c = cell[group * lanes + l]; c != numbers::invalid_unsigned_int)
        for (const auto &pair : pairs[c])
          if (number[pair[0]][pair[1]] < 0) {
            number[pair[0]][pair[1]] = wanted.size();
            wanted.push_back(pair);
          }
    store.resize_fast(0);
    store.resize(wanted.size() * 9 * lanes, Number());
    Lane *const sum = reinterpret_cast<Lane *>(store.data());

    const Lane *a = reinterpret_cast<const Lane *>(stiffness_.data()) + std::size_t(group) * points * 45;
    for (unsigned q = 0; q < points; ++q, a += 45) {
      Lane flux[nodes][9][3]; // A grad N_j e_d
      for (unsigned j = 0; j < nodes; ++j) {
        const Number g[3] = {Number(gradients[q][j][0]), Number(gradients[q][j][1]),
                             Number(gradients[q][j][2])};
        for (unsigned row = 0; row < 9; ++row)
          for (unsigned d = 0; d < 3; ++d) {
            Lane f = {};
            for (unsigned m = 0; m < 3; ++m)
              f += g[m] * a[packed_either(9, row, 3 * d + m)];
            flux[j][row][d] = f;
          }
      }
      Lane *to = sum;
      for (const auto &[i, j] : wanted)
        for (unsigned c = 0; c < 3; ++c)
          for (unsigned d = 0; d < 3; ++d, ++to)
            for (unsigned k = 0; k < 3; ++k)
              *to += Number(gradients[q][i][k]) * flux[j][3 * c + k][d];
    }
    if (group >= first_mixed_) {
      Lane moment[4][nodes][3];
      volume_moments(group, moment);
      const Lane *h = reinterpret_cast<const Lane *>(volume_.data()) + (group - first_mixed_) * 10;
      Lane *to = sum;
      for (const auto &[i, j] : wanted)
        for (unsigned c = 0; c < 3; ++c)
          for (unsigned d = 0; d < 3; ++d, ++to)
            for (unsigned m = 0; m < 4; ++m)
              for (unsigned n = 0; n < 4; ++n)
                *to += moment[m][i][c] * h[packed_either(4, m, n)] * moment[n][j][d];
    }
    for (unsigned l = 0; l < lanes; ++l)
      if (const unsigned c = cell[group * lanes + l]; c != numbers::invalid_unsigned_int) {
        Number *to = &values[first[c]];
        for (const auto &pair : pairs[c]) {
          const Lane *from = sum + 9 * number[pair[0]][pair[1]];
          for (unsigned k = 0; k < 9; ++k)
            *to++ = from[k][l];
        }
      }
  }
}

template <typename Number>
void TangentKernel<Number>::volume_moments(unsigned group, Lane (&moment)[4][nodes][3]) const {
  const UnitGradients &gradients = unit_shape_gradients();
  const std::size_t m = group - first_mixed_;
  const Lane *cofactor = reinterpret_cast<const Lane *>(cofactor_.data()) + m * points * 9;
  const Lane *weight = reinterpret_cast<const Lane *>(moment_.data()) + m * points * 3;
  for (auto &row : moment)
    for (auto &node : row)
      for (Lane &entry : node)
        entry = Lane{};
  for (unsigned q = 0; q < points; ++q)
    for (unsigned i = 0; i < nodes; ++i)
      for (unsigned c = 0; c < 3; ++c) {
        Lane change = {};
        for (unsigned k = 0; k < 3; ++k)
          change += Number(gradients[q][i][k]) * cofactor[9 * q + 3 * c + k];
        moment[0][i][c] += change;
        for (unsigned n = 0; n < 3; ++n)
          moment[n + 1][i][c] += weight[3 * q + n] * change;
      }
}

template <typename Number> void TangentKernel<Number>::add_diagonal(Vector &dst) const {
  const UnitGradients &gradients = unit_shape_gradients();
  std::vector<double> sum(entries_ + 1, 0.0);
  for (unsigned group = 0; group < groups_; ++group) {
    Lane local[81] = {};
    const Lane *a = reinterpret_cast<const Lane *>(stiffness_.data()) + std::size_t(group) * points * 45;
    for (unsigned q = 0; q < points; ++q, a += 45)
      for (unsigned i = 0; i < nodes; ++i) {
        const Number x = gradients[q][i][0], y = gradients[q][i][1], z = gradients[q][i][2];
        for (unsigned c = 0; c < 3; ++c) {
          const unsigned k = 3 * c;
          local[c * nodes + i] += x * x * a[packed(9, k, k)] + y * y * a[packed(9, k + 1, k + 1)] +
                                  z * z * a[packed(9, k + 2, k + 2)] +
                                  2 * (x * y * a[packed(9, k, k + 1)] + x * z * a[packed(9, k, k + 2)] +
                                       y * z * a[packed(9, k + 1, k + 2)]);
        }
      }
    if (group >= first_mixed_) {
      Lane moment[4][nodes][3];
      volume_moments(group, moment);
      const Lane *h = reinterpret_cast<const Lane *>(volume_.data()) + (group - first_mixed_) * 10;
      for (unsigned i = 0; i < nodes; ++i)
        for (unsigned c = 0; c < 3; ++c)
          for (unsigned m = 0; m < 4; ++m)
            for (unsigned n = 0; n < 4; ++n)
              local[c * nodes + i] += moment[m][i][c] * h[packed_either(4, m, n)] * moment[n][i][c];
    }
    const unsigned *index = &index_[std::size_t(group) * 81 * lanes];
    for (unsigned i = 0; i < 81; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        sum[index[i * lanes + l]] += local[i][l];
  }
  double *to = dst.begin();
  for (unsigned i = 0; i < entries_; ++i)
    to[i] += sum[i];
}

template class TangentKernel<double>;
template class TangentKernel<float>;

} // namespace raybend
