// A material with stiffness added along one direction: a sole with its board and cords.
#pragma once
#include "solver/materials/material.hpp"

namespace raybend {

/// psi = psi_base(F) + E_a / 2 e^2,  e = (a . C a - 1) / 2 the Green-Lagrange strain along the unit vector a
/// (Holzapfel, Nonlinear Solid Mechanics, ch. 6, fibres; from memory). So
///   S = S_base + E_a e a(x)a ,   CC = CC_base + E_a a(x)a(x)a(x)a.
/// Bending along `a` is resisted by E_a, pressing across it by the base alone. E_a in MPa, not negative.
class AlongStiffened : public Material {
public:
  AlongStiffened(MaterialPtr base, double e_along, const dealii::Tensor<1, 3> &along);
  bool admissible(const Tensor2 &f) const override { return base_->admissible(f); }
  double energy(const Tensor2 &f) const override;
  Sym2 stress(const Tensor2 &f) const override;
  void tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const override;
  double initial_shear() const override { return base_->initial_shear(); }

private:
  double strain(const Tensor2 &f) const;

  MaterialPtr base_;
  double e_;
  dealii::Tensor<1, 3> a_;
  Sym2 aa_;
};

} // namespace raybend
