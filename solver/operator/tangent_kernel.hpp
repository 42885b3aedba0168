// The cells' part of a tangent as a fast matrix-free product: several cells at once in the processor's lanes.
#pragma once
#include "solver/discretization/level.hpp"
#include "solver/materials/material.hpp"
#include <array>
#include <deal.II/base/aligned_vector.h>

namespace raybend {

/// Bytes of the processor's widest vectors.
#ifdef __AVX512F__
constexpr unsigned lane_bytes = 64;
#else
constexpr unsigned lane_bytes = 32;
#endif

/// Pairs of nodes of each cell batch.
using NodePairs = std::vector<std::vector<std::array<unsigned char, 2>>>;

/// y += sum over cells  G^T A G x  +  B^T H B x,
///
///   G  gradients of the 27-node shape functions at the 27 Gauss points, in unit coordinates (sum
///   factorization); A  per point the symmetric 9 x 9 matrix  w  J^-1 (dP/dF) J^-T  of the stored
///   linearization: metric terms included, so that a
///      product needs no geometry (45 numbers a point);
///   B  (mixed cells) moments of the volume change against 1, x, y, z;  H their 4 x 4 stiffness.
///
/// Number is double for the equations being solved, float inside the preconditioner. The packaged deal.II
/// evaluates one cell at a time, without lanes: measured on the forefoot, 115,929 unknowns, one core, 13 ms a
/// product against 2 ms (float) and 3.5 ms (double) here, faces and low-rank part included.
template <typename Number> class TangentKernel {
public:
  static constexpr unsigned lanes = lane_bytes / sizeof(Number);
  static constexpr unsigned points = n_points_1d * n_points_1d * n_points_1d, nodes = 27;

  /// Cells of `level` (this rank's); mixed[batch] says which carry the B^T H B part.
  void reinit(const Level &level, const std::vector<char> &mixed);
  bool empty() const { return place_.empty(); }

  /// A at point q of a cell: `a[c][d]` is dP_c/dF_d (3 x 3, rows J, columns L) and weight JxW.
  void set_point(unsigned batch, unsigned q, const Tensor2 (&a)[3][3], const Tensor2 &inverse_jacobian,
                 double weight);
  /// Mixed cells: w dJ/dF = w J F^-T at point q, and the weights N_1..N_3 of the moments there (N_0 = 1).
  void set_volume_point(unsigned batch, unsigned q, const Tensor2 &cofactor, const Tensor2 &inverse_jacobian,
                        double weight, const std::array<double, 4> &n);
  void set_volume_stiffness(unsigned batch, const std::array<std::array<double, 4>, 4> &h);

  /// 3 x 3 values of the pairs (i, j) of nodes of each cell batch, i <= j in lexicographic order: cell after
  /// cell, pair after pair, component of i times 3 plus component of j.
  void pair_matrices(const NodePairs &pairs, std::vector<Number> &values) const;
  /// dst += diagonal, ghost entries too (compress afterwards).
  void add_diagonal(Vector &dst) const;

  /// dst += product. src must have its ghost values; dst gets contributions in its ghost entries (compress
  /// afterwards). Fixed unknowns count as zero and receive nothing.
  void vmult_add(Vector &dst, const Vector &src) const;

private:
  typedef Number Lane __attribute__((vector_size(lane_bytes), may_alias));
  /// Moments of the volume change of a mixed group's nodes.
  void volume_moments(unsigned group, Lane (&moment)[4][nodes][3]) const;
  using Store = dealii::AlignedVector<Number>;
  static Number *lane(Store &v, std::size_t at, unsigned l) { return &v[at * lanes + l]; }

  std::vector<std::array<unsigned, 2>> place_; ///< of each cell batch of the level: group, lane
  unsigned groups_ = 0, first_mixed_ = 0;
  std::vector<unsigned> index_; ///< [group][81][lane], into the local vector; its size + ghosts = nowhere
  Store stiffness_;             ///< [group][q][45][lane]
  Store cofactor_, moment_, volume_; ///< mixed groups: [q][9], [q][3], [10]
  unsigned entries_ = 0;
  Number shape_[3][3], slope_[3][3]; ///< [point][node] in one direction
  mutable std::vector<Number> x_, y_;
};

} // namespace raybend
