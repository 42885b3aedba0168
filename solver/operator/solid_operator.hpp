// The nonlinear operator of a problem on one level: energy, residual, tangent.
#pragma once
#include "solver/kernel/assembler.hpp"
#include "solver/operator/bulk.hpp"
#include "solver/operator/faces.hpp"
#include "solver/operator/ties_and_carrier.hpp"
#include <deal.II/base/subscriptor.h>

namespace raybend {

/// Total Lagrangian hyperelasticity with springs, ties, a force-controlled rigid carrier and unilateral
/// contact.
///
/// Find u and the motions w (of the carrier, then of the slide) that make the potential stationary:
///
///   Pi(u, w) =  int_B psi(F) dV                                F = I + grad u              bulk.hpp
///             + 1/2 int_S (u - w.v).K (u - w.v) dA             springs; v_m the modes      faces.hpp
///             + 1/2 int_C k <-g>^2 + h |t|^2 dA_plan           contact; g = g0 + (u_upper - u_lower).d, grip h,
///                                                              t = u_upper - u_lower normal to d
///             + 1/2 int_G k <-g>^2 + h |s|^2 dA_plan           ground;  g = g0(X) + u.d, grip h(X),
///                                                              s = u - w.v normal to d, v_m the slide
///             + sum_r [ <f_r + k_r e_r>^2 / (2 k_r) + c_r e_r ]   ties;  e_r(mean u - w.v(A_r)), tie_pull.hpp
///             + lambda F w_0 + sum_m [ lambda p_m w_m + h_m/2 (w_m - lambda r_m)^2 ]
///                                                              what holds the carrier      ties_and_carrier.hpp
///             - lambda (int_B b.u dV + int_T t.u dA + forces.mean u)                       dead_loads.hpp
///
/// (f_r, c_r scale with the load factor lambda too.) w is eliminated. The tangent in u is then
///
///   A = int grad(phi) : (F (CC : sym(F^T grad du)) + grad du S)  + springs + contact   (sparse, matrix-free)
///       + sum_r P_r K_r P_r^T  -  C G^-1 C^T                                           (low rank)
///
/// The three parts know the same words: `update_problem`, `add_residual` (share of energy and residual), `linearize`
/// (stores the tangent at u), `kernel` or `low_rank` (products with it and its diagonal), and the sparse ones
/// `list_blocks` and `add_blocks` (its matrix). This class is their sum.
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
  void bound_tangent() { bulk_.bound_tangent(); }
  /// Faces::set_active.
  void set_active(const Vector &active, const Vector &all) { faces_.set_active(active, all); }

  void vmult(Vector &dst, const Vector &src) const;
  /// The same in single precision, for use inside a preconditioner.
  void rough_vmult(Vector &dst, const Vector &src) const;
  void rough_vmult(RoughVector &dst, const RoughVector &src) const;
  unsigned m() const { return level_.dofs.n_dofs(); }
  void initialize_dof_vector(Vector &v) const { level_.initialize(v); }

  /// Diagonal of the tangent (single precision after a linearization `on_level`); ones at constrained
  /// unknowns and where it is not positive.
  void compute_diagonal(Vector &diagonal) const;

  /// The sparse part of the tangent (no low-rank part) as a matrix, the whole of it on every rank;
  /// compressive principal values of S are bounded by `bound` shear moduli first (a negative bound leaves
  /// them, 0 leaves nothing negative: pack_point). Fixed unknowns keep their diagonal entry only. A `matrix` of the right size keeps its pattern.
  void assemble(LowerTriangle &matrix, double bound = -1) const;

  const Bulk &bulk() const { return bulk_; }
  const Faces &faces() const { return faces_; }
  const TiesAndCarrier &ties() const { return ties_; }
  const LowRank &low_rank() const { return ties_.low_rank(); }
  const Level &level() const { return level_; }
  const Problem &problem() const { return *problem_; }

private:
  /// What products of cells and faces read and write: this rank's vectors, ghosts and one entry more.
  template <typename Number> struct Local { std::vector<Number> x, y; };
  template <typename Number, typename Values>
  void product(Local<Number> &local, Values &dst, const Values &src) const;

  const Problem *problem_;
  unsigned shape_number_ = 0;
  const Level &level_;
  Bulk bulk_;
  Faces faces_;
  TiesAndCarrier ties_;
  Vector external_;          ///< dead_loads
  bool exact_ready_ = false; ///< the last linearization is there in double precision
  mutable Assembler assembler_;
  mutable Local<double> exact_;
  mutable Local<float> rough_;
};

} // namespace raybend
