// Ogden-Storakers hyperfoam, one term.
#pragma once
#include "solver/materials/material.hpp"

namespace raybend {

/// psi = 2 mu/a^2 [ l1^a + l2^a + l3^a - 3 + (J^(-a b) - 1)/b ],  b = nu/(1 - 2 nu); b -> 0: -a ln J.
/// (Storakers 1986, J Mech Phys Solids 34:125, from memory.) mu in MPa; a != 0; b >= 0.
class Hyperfoam : public Material {
public:
  Hyperfoam(double mu, double alpha, double beta);
  bool admissible(const Tensor2 &f) const override { return determinant(f) > 0.02; }
  double energy(const Tensor2 &f) const override;
  Sym2 stress(const Tensor2 &f) const override;
  void tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const override;
  double initial_shear() const override { return mu_; }

private:
  double mu_, a_, b_;
};

} // namespace raybend
