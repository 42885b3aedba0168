// Hyperelastic materials: stored energy, second Piola-Kirchhoff stress and material tangent.
#pragma once
#include <deal.II/base/symmetric_tensor.h>
#include <deal.II/base/tensor.h>
#include <memory>

namespace raybend {

using Tensor2 = dealii::Tensor<2, 3>;
using Sym2 = dealii::SymmetricTensor<2, 3>;
using Sym4 = dealii::SymmetricTensor<4, 3>;

/// A stored energy psi(F) per reference volume, in MPa.
/// S = 2 dpsi/dC,  CC = 4 d2psi/dC dC, so that dS = CC : sym(F^T dF) and P = F S.
class Material {
public:
  virtual ~Material() = default;

  /// False where the energy is not defined (J <= 0, a foam pressed below its solid volume).
  virtual bool admissible(const Tensor2 &f) const = 0;

  /// Energy (MPa = mJ/mm3) of an admissible F.
  virtual double energy(const Tensor2 &f) const = 0;

  /// Second Piola-Kirchhoff stress S, MPa.
  virtual Sym2 stress(const Tensor2 &f) const = 0;

  /// S and the material tangent CC, MPa.
  virtual void tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const = 0;

  /// Shear modulus at F = I, MPa: the scale for stabilising the levels of the multigrid method.
  virtual double initial_shear() const = 0;

  /// True if cells of this material project the volume change (solver/operator/mixed_cell.hpp).
  virtual bool mixed() const { return false; }

  /// The part U(J) of `energy` that mixed cells project, with U' and U'' (MPa): what lies above a bulk
  /// stiffness of ten shear moduli. Below it displacement elements do not lock (nu 0.45), and the rest that
  /// stays local keeps cells stable under pressure: projecting all of it leaves volume changes that the
  /// projection does not see to p d2J alone, which is negative in compression. Asked of mixed materials only.
  struct VolumeEnergy {
    double value = 0, slope = 0, curvature = 0;
  };
  virtual VolumeEnergy volume_energy(double) const { return {}; }
};

using MaterialPtr = std::shared_ptr<const Material>;

} // namespace raybend
