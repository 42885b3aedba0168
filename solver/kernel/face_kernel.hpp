// The faces' part of a tangent (contact, ground, springs) as a fast matrix-free product.
#pragma once
#include "solver/discretization/level.hpp"
#include "solver/kernel/lanes.hpp"
#include <array>
#include <deal.II/base/aligned_vector.h>

namespace raybend {

constexpr unsigned n_face_points = n_points_1d * n_points_1d;

/// Weighted stiffness of a face point: K JxW with K symmetric 3 x 3 (MPa/mm): 00, 01, 02, 11, 12, 22.
using FaceStiffness = std::array<double, 6>;

/// Where a face's 9 nodes are, on one side or (a pair in contact) two: [side][node * 3 + component], local
/// unknowns, for those that are fixed Level::local_entries(). Nodes in the order of FEFaceEvaluation's points.
struct FaceNodes {
  std::array<std::array<unsigned, 27>, 2> unknown;
  bool pair = false;
  unsigned offset = 0; ///< of its first point in the list of all face points
};

/// y += sum over faces  N^T K N x,  N the values at the face's 3 x 3 Gauss points: of one side, or for a pair
/// the jump from the first to the second. Faces run in the processor's lanes as the cells of CellKernel do.
template <typename Number> class FaceKernel {
public:
  static constexpr unsigned lanes = lanes_of<Number>, nodes = 9;

  /// `nowhere`: Level::local_entries().
  void reinit(const std::vector<FaceNodes> &faces, unsigned nowhere);
  /// `stiffness` holds every face's points at its offset.
  void set_stiffness(const std::vector<FaceStiffness> &stiffness);

  /// As CellKernel's.
  void add_product(const Number *x, Number *y) const;
  void add_diagonal(double *sum) const;

private:
  typedef Number Lane __attribute__((vector_size(lane_bytes), may_alias));
  struct Group {
    bool pair;
    std::array<unsigned, lanes> offset; ///< of each face, `no_face` in unused lanes
  };
  static constexpr unsigned no_face = dealii::numbers::invalid_unsigned_int;

  std::vector<Group> groups_;
  std::vector<unsigned> index_;              ///< [group][side][27][lane]
  dealii::AlignedVector<Number> stiffness_;  ///< [group][point][6][lane]
  Number shape_[n_points_1d][fe_degree + 1]; ///< [point][node] in one direction
};

} // namespace raybend
