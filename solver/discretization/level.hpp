// One refinement level: triangulation, Q2 space, curved mapping and matrix-free data.
#pragma once
#include "solver/problem.hpp"
#include <deal.II/distributed/tria.h>
#include <deal.II/dofs/dof_handler.h>
#include <deal.II/fe/fe_system.h>
#include <deal.II/fe/mapping_q_cache.h>
#include <deal.II/lac/affine_constraints.h>
#include <deal.II/lac/la_parallel_vector.h>
#include <deal.II/matrix_free/matrix_free.h>

namespace raybend {

using Vector = dealii::LinearAlgebra::distributed::Vector<double>;
using RoughVector = dealii::LinearAlgebra::distributed::Vector<float>; ///< inside preconditioners

constexpr unsigned fe_degree = 2;
constexpr unsigned n_points_1d = fe_degree + 1;

/// The coarsest mesh refined `refinements` times, over the ranks of `comm`, in the logical frame; the mapping
/// carries it to the stress-free shape. Levels of one hierarchy are separate objects (global coarsening).
class Level {
public:
  Level(const Problem &problem, unsigned refinements, MPI_Comm comm);

  /// Takes over a new stress-free shape (another design): mapping, metric terms, nodal positions.
  void update_shape(const Problem &problem);

  /// Logical coordinates of a point of a cell given in unit coordinates.
  static Vec3 logical_point(const dealii::Triangulation<3>::cell_iterator &cell,
                            const dealii::Point<3> &unit);

  void initialize(Vector &v) const { matrix_free.initialize_dof_vector(v); }
  void initialize(RoughVector &v) const { matrix_free.initialize_dof_vector(v); }

  /// Entries of this rank's part of a vector, those of its neighbours' that it sees included.
  unsigned local_entries() const {
    const auto &partitioner = *matrix_free.get_vector_partitioner();
    return partitioner.locally_owned_size() + partitioner.n_ghost_indices();
  }

  MPI_Comm comm;
  dealii::parallel::distributed::Triangulation<3> triangulation;
  dealii::FESystem<3> fe;
  dealii::DoFHandler<3> dofs;
  std::unique_ptr<dealii::MappingQCache<3>> mapping;
  dealii::AffineConstraints<double> constraints; ///< homogeneous
  dealii::MatrixFree<3, double> matrix_free;
  Vector position; ///< nodal reference positions X, so that X + u is the deformed place

private:
  /// Position of every node that this rank sees, by global unknown; each found once.
  std::vector<double> node_positions(const Problem &problem) const;
  void make_mapping(const Problem &problem, const std::vector<double> &nodes);
  void make_matrix_free();
  void make_positions(const std::vector<double> &nodes);
};

/// Prescribed displacements of `problem` in the entries of u (others unchanged).
void set_prescribed(const Problem &problem, const Level &level, Vector &u, double factor);

} // namespace raybend
