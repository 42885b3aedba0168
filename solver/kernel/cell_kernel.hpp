// The cells' part of a tangent as a fast matrix-free product: several cells at once in the processor's lanes.
#pragma once
#include "solver/discretization/level.hpp"
#include "solver/kernel/lanes.hpp"
#include "solver/kernel/point_tangent.hpp"
#include <array>
#include <deal.II/base/aligned_vector.h>

namespace raybend {

/// Pairs of nodes of each cell batch.
using NodePairs = std::vector<std::vector<std::array<unsigned char, 2>>>;

/// y += sum over cells  G^T A G x  +  B^T H B x,
///
///   G  gradients of the 27-node shape functions at the 27 Gauss points, in unit coordinates (sum
///      factorization); A  per point the symmetric 9 x 9 matrix  w  J^-1 (dP/dF) J^-T  of the stored
///      linearization: metric terms included, so that a product needs no geometry. Of its 45 numbers
///      only those are kept that the cell's materials need (point_tangent.hpp);
///  B  (mixed cells) moments of the volume change against 1, x, y, z;  H their 4 x 4 stiffness.
///
/// Number is double for the equations being solved, float inside the preconditioner. The packaged deal.II
/// evaluates one cell at a time, without lanes: measured on the forefoot, 115,929 unknowns, one core, 13 ms a
/// product.
template <typename Number> class CellKernel {
public:
  static constexpr unsigned lanes = lanes_of<Number>;
  static constexpr unsigned points = n_points_1d * n_points_1d * n_points_1d, nodes = 27;

  /// Cells of `level` (this rank's) and what is kept of their points.
  void reinit(const Level &level, const std::vector<PointForm> &form);

  /// A at point q of a cell, by the numbers of the cell's form.
  void set_point(unsigned batch, unsigned q, const PointNumbers &a);
  /// H of a mixed cell.
  void set_volume_stiffness(unsigned batch, const std::array<std::array<double, 4>, 4> &h);

  /// Appends 3 x 3 values of the pairs (i, j) of nodes of each cell batch, i <= j in lexicographic order: cell
  /// after cell, pair after pair, component of i times 3 plus component of j.
  void pair_matrices(const NodePairs &pairs, std::vector<Number> &values) const;
  /// y += product. x and y are a rank's vectors with their ghost entries and one entry more at the end, of no unknown:
  /// in x it is zero, in y nobody reads it. Fixed unknowns count as zero and receive nothing.
  void add_product(const Number *x, Number *y) const;
  /// sum += diagonal, a vector as y above.
  void add_diagonal(double *sum) const;

private:
  typedef Number Lane __attribute__((vector_size(lane_bytes), may_alias));
  struct Group {
    PointForm form;
    std::size_t at;  ///< of its points' numbers in numbers_, in lanes
    unsigned volume; ///< mixed: of its H in volume_, in lanes
  };
  using Store = dealii::AlignedVector<Number>;
  const Lane *numbers(const Group &g) const { return reinterpret_cast<const Lane *>(numbers_.data()) + g.at; }
  const Lane *volume(const Group &g) const {
    return reinterpret_cast<const Lane *>(volume_.data()) + g.volume;
  }
  /// The upper triangle of A at every point.
  void expand(const Group &group, Lane (&a)[points][45]) const;
  /// Moments of the volume change of a mixed group's nodes.
  void volume_moments(const Group &group, Lane (&moment)[4][nodes][3]) const;
  /// g = A g at every point of a group.
  template <PointForm form> void stress_change(const Group &group, Lane (&g)[points][9]) const;

  std::vector<std::array<unsigned, 2>> place_; ///< of each cell batch of the level: group, lane
  std::vector<Group> groups_;
  std::vector<unsigned>
      index_;     ///< [group][81][lane], into the local vector; its entry more if fixed or unused
  Store numbers_; ///< [group][q][number][lane]
  Store volume_;  ///< mixed groups: [10][lane]
  Number shape_[3][3], slope_[3][3]; ///< [point][node] in one direction
};

} // namespace raybend
