// Isotropic materials whose energy depends on I1 = tr C and J = det F only.
#pragma once
#include "solver/materials/material.hpp"

namespace raybend {

/// psi = W(I1, J). With C^-1 the inverse right Cauchy-Green tensor and subscripts for derivatives,
///
///   S  = 2 W_1 I + J W_J C^-1
///   CC = 4 W_11 I(x)I + 2 J W_1J (I(x)C^-1 + C^-1(x)I) + (J W_J + J^2 W_JJ) C^-1(x)C^-1
///        - 2 J W_J  C^-1 (.) C^-1 ,      (A(.)A)_ijkl = (A_ik A_jl + A_il A_jk) / 2
///
/// (Holzapfel, Nonlinear Solid Mechanics, ch. 6; from memory; checked against finite differences in tests.)
class InvariantMaterial : public Material {
public:
  struct Derivatives {
    double psi, w1, wj, w11, w1j, wjj;
  };

  bool admissible(const Tensor2 &f) const override { return determinant(f) > smallest_volume(); }
  double energy(const Tensor2 &f) const override;
  Sym2 stress(const Tensor2 &f) const override;
  double energy_and_stress(const Tensor2 &f, Sym2 &s) const override;
  PointForm point_form() const override { return PointForm::invariant; }
  bool invariant_tangent(const Tensor2 &f, InvariantTangent &t) const override;
  void tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const override;

protected:
  virtual Derivatives derivatives(double i1, double j) const = 0;
  virtual double smallest_volume() const { return 0.02; }
};

/// psi = mu/2 (I1 - 3) - mu ln J + lambda/2 (ln J)^2. Bone, plates, shells, rubber. mu, lambda from E, nu
/// (E > 0 MPa, 0 <= nu < 0.5). Closed forms: F4 of the verification tests. `mixed`: U = lambda/2 (ln J)^2
/// sees the projected volume; use it from nu = 0.45 on.
class NeoHooke : public InvariantMaterial {
public:
  NeoHooke(double e, double nu, bool mixed = false);
  static NeoHooke from_lame(double mu, double lambda, bool mixed = false);
  double initial_shear() const override { return mu_; }
  PointForm point_form() const override { return PointForm::volume; }
  bool mixed() const override { return mixed_; }
  VolumeEnergy volume_energy(double j) const override;

protected:
  Derivatives derivatives(double i1, double j) const override;

private:
  NeoHooke() = default;
  double mu_ = 0, lambda_ = 0;
  bool mixed_ = false;
};

/// Soft tissue, nearly incompressible and stiffening:
///   psi = mu/(2 b) (exp(b (J^(-2/3) I1 - 3)) - 1) + K/c^2 (c ln J + J^(-c) - 1),   c = 6.
/// The first part is Demiray's exponential law (1972, from memory), the second Ogden's volumetric energy
/// (1972, from memory), which resists loss of volume ever more; its part above ten
/// shear moduli sees the projected volume. mu, K in MPa, b
/// > 0.
class SoftTissue : public InvariantMaterial {
public:
  SoftTissue(double mu, double stiffening, double bulk, bool mixed = true);
  double initial_shear() const override { return mu_; }
  bool mixed() const override { return mixed_; }
  VolumeEnergy volume_energy(double j) const override;

protected:
  Derivatives derivatives(double i1, double j) const override;

private:
  static VolumeEnergy volume(double j, double bulk);

  double mu_, b_, k_;
  bool mixed_;
};

/// Foam: neo-Hookean skeleton, the gas in its closed cells by Boyle's law, and cell walls that meet as J
/// nears the relative density R. With x = (1 - R)/(J - R), which is 1 at rest and grows without bound,
///   p_gas = p0 (x - 1) ,   psi_walls = 0.07 mu/2 (x - 1) (J^(-2/3) I1 - 3) .
/// (Gas: Mills; Gibson & Ashby, Cellular Solids ch. 5; from memory. Walls: assumed, in size and form. They add
/// 7 to 12 % to the stress at half the thickness, keep an open-cell cushion from being pressed to nothing, and resist
/// shear as they resist compression: a foam's moduli grow with its density, by its square after Gibson & Ashby.) E, p0 in
/// MPa, p0 >= 0, 0 < R < 1.
class GasFoam : public InvariantMaterial {
public:
  GasFoam(double e, double nu, double gas_pressure, double relative_density);
  double initial_shear() const override { return mu_; }

protected:
  Derivatives derivatives(double i1, double j) const override;
  double smallest_volume() const override { return r_ + 0.02; }

private:
  double mu_, lambda_, p0_, r_, walls_;
};

} // namespace raybend
