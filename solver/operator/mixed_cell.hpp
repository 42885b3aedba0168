// Nearly incompressible cells: the volume change projected on linear functions.
#pragma once
#include "solver/materials/material.hpp"
#include <array>

namespace raybend {

/// Displacement elements lock as the bulk modulus grows. In a mixed cell a part U(J) of the energy
/// (Material::volume_energy) sees,
/// instead of J = det F, its projection on the functions 1, x, y, z of the cell,
///
///   theta = sum_ab N_a M^-1_ab int N_b J dV ,     M_ab = int N_a N_b dV ,
///
/// which is the Q2 - P1(discontinuous) displacement-pressure pair with the pressure eliminated cell by cell
/// (inf-sup stable: Boffi, Brezzi & Fortin, Mixed Finite Element Methods, sec. 8.6; the three-field form in
/// finite strain: Simo, Taylor & Pister 1985, CMAME 51:177; both from memory). With p = projection of
/// U'(theta) the first and second variations are
///
///   int p J F^-T : grad(v) ,
///   int U''(theta) P(J F^-T : grad du) P(J F^-T : grad v) + int p d(J F^-T : grad v)[du] .
struct MixedCell {
  static constexpr unsigned points = 27;
  using Values = std::array<double, points>; ///< one a Gauss point

  /// Places (mm) and weights JxW of the Gauss points.
  void reinit(const std::array<dealii::Point<3>, points> &place, const Values &weight);

  /// The projection of `values`: as coefficients of the functions N_a, and at the Gauss points.
  using Coefficients = std::array<double, 4>;
  Coefficients coefficients(const Values &values) const;
  Values project(const Values &values) const;
  /// sum_a c_a N_a at a place, mm.
  double at(const dealii::Point<3> &place, const Coefficients &c) const;

  /// H = M^-1 Q M^-1 with Q_ab = int U'' N_a N_b: the stiffness of the moments int N_b dJ.
  std::array<std::array<double, 4>, 4> stiffness(const Values &curvature) const;

  std::array<std::array<double, 4>, points>
      n; ///< N_a: 1 and place relative to the centre over the cell's size
  Values w;

private:
  dealii::Point<3> centre_;
  double size_ = 1;
  std::array<std::array<double, 4>, 4> inverse_mass_;
};

/// The projected volume of a mixed cell may not fall to this at any Gauss point (the law grows without bound
/// there).
constexpr double least_projected_volume = 0.02; // assumed

/// What a mixed cell's law makes of the volume ratios `j` at its Gauss points.
struct ProjectedVolume {
  MixedCell::Values theta;     ///< the projection of j, raised to least_projected_volume where it falls below
  MixedCell::Values pressure;  ///< p, the projection of U'(theta), MPa
  MixedCell::Values curvature; ///< U''(theta), MPa
  bool admissible = true;      ///< theta was above the least everywhere
};
ProjectedVolume project_volume(const Material &material, const MixedCell &cell, const MixedCell::Values &j);

/// Turns the law's own S at the Gauss points of a mixed cell into S with U' replaced by the projected
/// pressure. `f` holds 27 deformation gradients. Returns false if the projected volume is not above
/// least_projected_volume somewhere. `theta` (may be null): the projected volume.
bool project_pressure(const Material &material, const MixedCell &cell, const Tensor2 *f, Sym2 *s,
                      MixedCell::Values *theta = nullptr);

} // namespace raybend
