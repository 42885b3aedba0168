// The bulk: the cells' part of energy, residual and tangent.
#pragma once
#include "solver/kernel/cell_kernel.hpp"
#include "solver/operator/mixed_cell.hpp"
#include <memory>

namespace raybend {

/// Total Lagrangian hyperelasticity. Of the weak form in solid_operator.hpp
///
///   Pi                 int_B psi(F) dV                                           F = I + grad u
///   dPi(v)             int_B grad v : (F S) dV                                   S = 2 dpsi/dC
///   d2Pi(v, du)        int_B grad v : (F (CC : sym(F^T grad du)) + grad du S) dV     CC = 4 d2psi/dC dC
///
/// In cells of a mixed material a part U(J) of psi sees the projected volume theta in place of J (mixed_cell.hpp),
/// P the projection, p = P U'(theta):
///
///   Pi            +    int U(theta) - U(J) dV
///   dPi(v)        +    int (p - U'(J)) J F^-T : grad v dV
///   d2Pi(v, du)   +    int (p - U'(J)) d(J F^-T : grad v)[du] - U''(J) (J F^-T : grad v) (J F^-T : grad du) dV
///                 +    int U''(theta) P(J F^-T : grad v) P(J F^-T : grad du) dV            B^T H B of cell_kernel.hpp
class Bulk {
public:
  explicit Bulk(const Level &level) : level_(level) {}

  /// Throws FoldedCell where the shape turns a cell inside out (on every rank), std::logic_error if a mixed material
  /// has no invariant tangent.
  void update_problem(const Problem &problem);

  using Range = std::pair<unsigned, unsigned>;
  /// Adds a range of cells' share of the energy (N mm) and, if `forces`, of the residual. u has its ghost values.
  /// False where a material point has no energy.
  bool add_residual(Vector &residual, const Vector &u, const Range &cells, bool forces, double &energy) const;
  /// N mm: rounding error to expect in the energy.
  double noise() const { return 2e-15 * stiffness_volume_; }

  /// Stores the tangent at u, which has its ghost values; `on_level`: as SolidOperator::linearize, for single precision
  /// only.
  void linearize(const Vector &u, bool on_level);
  /// Bounds compressive stress in the tangent at hand.
  void bound_tangent();
  /// Products with the tangent and its diagonal.
  template <typename Number> const CellKernel<Number> &kernel() const {
    if constexpr (std::is_same_v<Number, double>)
      return exact_;
    else
      return rough_;
  }

  /// For each cell: its number of nodes, then their unknowns.
  void list_blocks(std::vector<unsigned> &nodes) const;
  /// The values of these blocks as Assembler takes them. `bound` as SolidOperator::assemble.
  void add_blocks(double bound, std::vector<double> &values) const;

  /// The point of the body that u presses together most: its volume ratio det F, logical place and tag.
  struct Pressed {
    double volume = 1;
    Vec3 logical{};
    unsigned tag = 0;
  };
  Pressed most_pressed(const Vector &u) const;

  bool has_mixed_cells() const { return !mixed_.empty(); }

private:
  struct Linearized {
    Tensor2 f;
    InvariantTangent tangent; ///< of an invariant material
    bool invariant = true;
  };
  struct GeneralTangent {
    Sym2 s;
    Sym4 cc;
  };

  void find_materials();
  void make_mixed_cells();
  void make_kernels();
  /// Projected pressure into the tangents of a mixed cell's stored linearization.
  void linearize_mixed(unsigned batch);
  /// Fills kernels (either may be null) from the stored linearization; compressive stress is bounded by `bound` shear
  /// moduli (negative: not).
  void fill(double bound, CellKernel<double> *exact, CellKernel<float> *rough) const;

  const Problem *problem_ = nullptr;
  const Level &level_;
  std::vector<unsigned> material_; ///< of every point
  std::vector<Linearized> linearized_;
  std::vector<GeneralTangent> general_; ///< where a material is not invariant; else empty
  std::vector<int> mixed_of_;           ///< of each cell batch: index into mixed_, -1 if not mixed
  std::vector<MixedCell> mixed_;
  std::vector<std::array<std::array<double, 4>, 4>> volume_stiffness_; ///< H of each mixed cell
  std::vector<PointForm> form_;                                        ///< of each cell batch's points
  CellKernel<double> exact_;
  CellKernel<float> rough_;
  mutable std::unique_ptr<CellKernel<double>> assembly_; ///< with the stress bounded as the matrix asks
  double stiffness_volume_ = 0; ///< N mm: integral of the shear modulus, scale of rounding in the energy
};

} // namespace raybend
