// The nonlinear operator of a problem on one level: energy, residual, tangent.
#pragma once
#include "solver/discretization/level.hpp"
#include "solver/materials/material.hpp"
#include "solver/operator/low_rank.hpp"
#include "solver/operator/lower_triangle.hpp"
#include "solver/operator/mixed_cell.hpp"
#include "solver/operator/tangent_kernel.hpp"
#include "solver/operator/tie_pull.hpp"
#include <deal.II/base/subscriptor.h>
#include <deal.II/lac/full_matrix.h>

namespace raybend {

/// Total Lagrangian hyperelasticity with springs, ties, a force-controlled rigid carrier and unilateral
/// contact.
///
/// Find u and the carrier's motion w that make the potential stationary:
///
///   Pi(u, w) =  int_B psi(F) dV                                F = I + grad u
///             + 1/2 int_S (u - w.v).K (u - w.v) dA             springs; v_m the carrier's modes
///             + 1/2 int_C k <-g>^2 dA_plan                     contact; g = g0 + (u_upper - u_lower).d
///             + 1/2 int_G k <-g>^2 + h |s|^2 dA_plan           ground;  g = g0(X) + u.d, grip h(X),
///                                                              s = u - w.v normal to d, v_m the slide
///             + sum_r [ <f_r + k_r e_r>^2 / (2 k_r) + c_r e_r ]   ties;    e_r(mean u - w.v(A_r)), tie_pull.hpp
///             - lambda (int_B b.u dV + int_T t.u dA + forces.mean u)  +  lambda F w_0
///             + sum_m [ lambda p_m w_m + h_m/2 (w_m - lambda r_m)^2 ]    what holds the carrier
///
/// (f_r, c_r scale with the load factor lambda too.) w is eliminated: for given u a few Newton steps on a small
/// system, convex in w, give it (one where no tie swings). The tangent in u is then
///
///   A = int grad(phi) : (F (CC : sym(F^T grad du)) + grad du S)  + springs + contact   (sparse, matrix-free)
///       + sum_r P_r K_r P_r^T  -  C G^-1 C^T                                           (low rank)
///
/// In cells of a mixed material the volumetric part of psi sees the projected volume (mixed_cell.hpp), which
/// adds B^T H B to A. P_r^T u is the mean displacement along the tie's axes, K_r its stiffness there,
/// G = d2 Pi / dw2 and C_m = d2 Pi / du dw_m (its sign is immaterial).
class SolidOperator : public dealii::Subscriptor {
public:
  SolidOperator(const Problem &problem, const Level &level);

  /// Call after Level::update_shape and after any change of the problem's functions. Throws FoldedCell where
  /// the shape turns a cell inside out (on every rank), std::logic_error if the problem contradicts itself.
  void update_problem(const Problem &problem);

  /// Grows with every call of update_problem.
  unsigned shape_number() const { return shape_number_; }

  struct Evaluation {
    bool admissible = false; ///< every material point has an energy
    double energy = 0;       ///< N mm
    double noise = 0;        ///< N mm: rounding error to expect in `energy`
  };

  /// Energy and, if `residual` is not null, dPi/du with w eliminated (constrained entries zero).
  Evaluation evaluate(const Vector &u, double load, Vector *residual) const;

  /// Prepares vmult at u. On the levels below the finest `on_level` bounds compressive stress in the
  /// geometric part (CC is kept), which keeps the level matrices positive; contact then waits for
  /// `set_active`.
  void linearize(const Vector &u, double load, bool on_level);

  /// Bounds compressive stress in the geometric part of the tangent at hand as on the levels below, which makes it
  /// positive definite. Call after `linearize`, before the preconditioner's update.
  void bound_tangent();

  /// sum over contact points of activity * shape function, and of shape functions alone, both in component 2
  /// of the upper (ground: the only) side's unknowns. Their ratio, restricted level by level, tells coarser
  /// levels which part of a face is in contact.
  void activity(Vector &active, Vector &all) const;
  void set_active(const Vector &active, const Vector &all);

  void vmult(Vector &dst, const Vector &src) const;
  /// The same in single precision, for use inside a preconditioner.
  void rough_vmult(Vector &dst, const Vector &src) const;
  void rough_vmult(RoughVector &dst, const RoughVector &src) const;
  unsigned m() const { return level_.dofs.n_dofs(); }
  void initialize_dof_vector(Vector &v) const { level_.initialize(v); }

  /// Diagonal of the tangent (single precision after a linearization `on_level`); ones at constrained
  /// unknowns and where it is not positive.
  void compute_diagonal(Vector &diagonal) const;

  /// Cells' part of the preconditioner's tangent for pairs of a cell's nodes, as
  /// TangentKernel::pair_matrices.
  void compute_pairs(const NodePairs &pairs, std::vector<float> &values) const {
    rough_.pair_matrices(pairs, values);
  }

  /// The sparse part of the tangent (no low-rank part) as a matrix, the whole of it on every rank;
  /// compressive principal values of S are bounded by `bound` shear moduli first (a negative bound leaves
  /// them). Fixed unknowns keep their diagonal entry only. A `matrix` of the right size keeps its pattern.
  void assemble(LowerTriangle &matrix, double bound = -1) const;

  /// The point of the body that u presses together most: its volume ratio det F, logical place and tag.
  struct Pressed {
    double volume = 1;
    Vec3 logical{};
    unsigned tag = 0;
  };
  Pressed most_pressed(const Vector &u) const;

  bool has_mixed_cells() const { return !mixed_.empty(); }
  const LowRank &low_rank() const { return low_rank_; }
  const Level &level() const { return level_; }

  /// Motion of the carrier for given u; tension of each tie, and what each exerts on its region.
  std::vector<double> carrier_motion(const Vector &u, double load) const;
  /// What `Carrier::holding` exerts against each mode at this motion, N.
  std::vector<double> holding_forces(const std::vector<double> &motion, double load) const;
  std::vector<double> tie_tensions(const Vector &u, double load) const;
  std::vector<Vec3> tie_forces(const Vector &u, double load) const;
  /// Integral of traction over each ground face's boundary, along its direction, N.
  double ground_force(const Vector &u) const;

  /// One quadrature point of the contact pair.
  struct ContactPoint {
    Vec3 logical;          ///< on the upper body
    double step_s, step_b; ///< extent of the cell in the logical frame
    double pressure;       ///< MPa per plan area
    double area;           ///< mm2 of plan that belongs to the point
    double slip;           ///< mm along the face by which the two paired points stand apart
    double slip_cells;     ///< the same in cells of the mesh
    unsigned q;            ///< 0..8, first direction fastest
  };
  /// Visits the contact points of this rank, each once.
  void visit_contact(const Vector &u, const std::function<void(const ContactPoint &)> &visit) const;

  static constexpr unsigned n_q = n_points_1d * n_points_1d * n_points_1d;
  static constexpr unsigned n_q_face = n_face_points;

  const Problem &problem() const { return *problem_; }

private:
  using Range = std::pair<unsigned, unsigned>;

  struct Linearized {
    Tensor2 f;
    InvariantTangent tangent; ///< of an invariant material
    bool invariant = true;
  };
  struct GeneralTangent {
    Sym2 s;
    Sym4 cc;
  };
  enum class FaceKind { none, contact, ground, spring, traction };
  struct FaceSlot {
    FaceKind kind = FaceKind::none;
    unsigned item = 0;   ///< index into the problem's list
    double sign = 1;     ///< contact: +1 if the interior side is the upper body
    unsigned offset = 0; ///< into gap_ and active_
  };

  void compute_cell_matrices(double bound, std::vector<double> &values) const;
  void compute_face_matrices(std::vector<double> &values) const;
  void list_blocks(std::vector<unsigned> &nodes) const;
  void make_pattern(LowerTriangle &matrix) const;
  void make_materials();
  void make_faces();
  void make_vectors();
  void find_contact(const Vector &u);
  void make_low_rank(const Vector &u, double load);
  /// Motions that are eliminated: the carrier's, then the ground's slide.
  unsigned n_modes() const;
  const std::function<Vec3(const Vec3 &)> &mode(unsigned m) const;
  double plan_area(const FaceSlot &slot, unsigned q, double jxw) const; ///< of a face's point, per area
  /// Per area, against the displacement u.
  static dealii::Tensor<1, 3> spring_force(const SpringFace &spring, const dealii::Tensor<1, 3> &u);
  dealii::Tensor<1, 3> grip_force(const FaceSlot &slot, unsigned q, const dealii::Tensor<1, 3> &u) const;
  Vector region_vector(const Region &region, const Vec3 &direction) const;

  void residual_cells(const dealii::MatrixFree<3, double> &, Vector &, const Vector &, const Range &) const;
  void residual_inner(const dealii::MatrixFree<3, double> &, Vector &, const Vector &, const Range &) const;
  void residual_boundary(const dealii::MatrixFree<3, double> &, Vector &, const Vector &,
                         const Range &) const;
  template <typename Number, typename Values>
  void tangent_product(const TangentKernel<Number> &kernel, Values &dst, const Values &src) const;
  void make_mixed_cells();
  void make_kernels();
  /// Cell's nodes on the face: global unknowns [node * 3 + component], nodes in the order of FaceEval's
  /// points.
  std::array<dealii::types::global_dof_index, 27> face_unknowns(unsigned face, bool interior) const;
  /// Fills the cells' part of kernels (either may be null) from the stored linearization; compressive stress
  /// is bounded by `bound` shear moduli (negative: not).
  void fill_cells(double bound, TangentKernel<double> *exact, TangentKernel<float> *rough) const;
  /// Contact, ground and springs with the present activity into the kernels.
  void fill_faces();
  /// Projected pressure into the tangents of a mixed cell's stored linearization.
  void linearize_mixed(unsigned batch);
  template <typename Visit> void for_gaps(const Vector &u, const Visit &visit) const;
  template <typename Visit> void for_contact_points(const Visit &visit) const;

  struct Small {                    // the eliminated carrier for given u
    dealii::Vector<double> product; ///< P^T u and C^T u, of ties and springs
    std::vector<double> motion;
    std::vector<TiePull> pull;
    dealii::FullMatrix<double> g;
    bool settled = false; ///< w was found
  };
  Small solve_small(const Vector &u, double load) const;
  struct Held {
    double stiffness = 0, push = 0, rest = 0;
  };
  Held held_by(unsigned mode) const; ///< Carrier::holding of a mode, on this level

  const Problem *problem_;
  unsigned shape_number_ = 0;
  const Level &level_;
  std::vector<unsigned> material_;
  std::vector<Linearized> linearized_;
  std::vector<GeneralTangent> general_; ///< where a material is not invariant; else empty
  std::vector<int> mixed_of_;           ///< of each cell batch: index into mixed_, -1 if not mixed
  std::vector<MixedCell> mixed_;
  std::vector<std::array<std::array<double, 4>, 4>> volume_stiffness_; ///< H of each mixed cell
  std::vector<PointForm> form_;                                        ///< of each cell batch's points
  TangentKernel<double> exact_;
  TangentKernel<float> rough_;
  bool exact_ready_ = false;    ///< exact_ holds the last linearization
  std::vector<FaceSlot> slots_; ///< one a face batch
  std::vector<double> gap0_, active_, grip_;
  std::vector<double> area_; ///< mm2: of springs' points in space, of contact and ground in plan
  std::vector<FaceStiffness> face_stiffness_;
  Vector external_;
  /// A tie's place in `tie_`: a column of P_r for each axis.
  struct TieColumns {
    std::vector<Vec3> axes;
    unsigned first;
    std::vector<std::array<double, 3>> anchor; ///< of each mode: its motion of the anchor along the axes
  };
  std::vector<TieColumns> tie_columns_;
  std::vector<Vector> tie_, spring_carrier_; ///< P_r and the springs' part of C_m
  dealii::FullMatrix<double> spring_g_;      ///< springs' part of G
  LowRank low_rank_;                         ///< columns P_r and the springs' C_m; its m at the linearization
  mutable std::unique_ptr<TangentKernel<double>> assembly_; ///< cells with bounded stress, for `assemble`
  mutable std::vector<unsigned> entry_of_; ///< of every block's values, all ranks, into the matrix
  mutable std::vector<int> block_counts_;  ///< values of each rank
  double stiffness_volume_ = 0; ///< N mm: integral of the shear modulus, scale of rounding in the energy
  mutable double energy_ = 0;
  mutable bool admissible_ = true;
  mutable bool skip_forces_ = false;
};

} // namespace raybend
