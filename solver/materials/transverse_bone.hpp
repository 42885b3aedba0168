// Bone, transversely isotropic about the ray's axis.
#pragma once
#include "solver/materials/material.hpp"

namespace raybend {

/// psi = 1/2 E : CC : E with a constant transversely isotropic CC (Saint Venant-Kirchhoff: exact enough
/// because bone strain stays below one per cent). Along `axis`: e_axial, nu (axial strain causes -nu of it
/// across); across: e_transverse, in-plane Poisson ratio nu; shear along the axis g. MPa. Constants: Reilly &
/// Burstein 1975, J Biomech 8:393 (from memory).
class TransverseBone : public Material {
public:
  TransverseBone(double e_axial, double e_transverse, double nu, double g, const dealii::Tensor<1, 3> &axis);
  bool admissible(const Tensor2 &f) const override { return determinant(f) > 0.3; }
  double energy(const Tensor2 &f) const override;
  Sym2 stress(const Tensor2 &f) const override;
  void tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const override;
  double initial_shear() const override { return g_; }

private:
  double g_;
  Sym4 cc_;
};

} // namespace raybend
