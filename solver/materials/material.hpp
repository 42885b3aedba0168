// Hyperelastic materials: stored energy, second Piola-Kirchhoff stress and material tangent.
#pragma once
#include <deal.II/base/symmetric_tensor.h>
#include <deal.II/base/tensor.h>
#include <memory>

namespace raybend {

using Tensor2 = dealii::Tensor<2, 3>;
using Sym2 = dealii::SymmetricTensor<2, 3>;
using Sym4 = dealii::SymmetricTensor<4, 3>;

/// What a material's tangent depends on, which decides how many numbers of it are kept at a point
/// (solver/kernel/point_tangent.hpp): `volume` an energy mu/2 I1 + f(J), `invariant` f(I1, J), `mixed` the
/// same in a cell that projects the volume change, `any` all else.
enum class PointForm : unsigned char { volume, invariant, mixed, any };

/// Tangent of a material whose energy depends on I1 = tr C and J = det F only, by five numbers (MPa), with
/// V = F^-T:
///   S  = g I + h C^-1
///   CC = a I(x)I + b (I(x)C^-1 + C^-1(x)I) + c C^-1(x)C^-1 - 2 h C^-1(.)C^-1
///   dP_cJ/dF_dL = g delta_cd delta_JL + a F_cJ F_dL + b (F_cJ V_dL + V_cJ F_dL) + c V_cJ V_dL - h V_cL V_dJ
/// (the last from the first two by P = F S; h of the geometric part and of CC cancel at delta_cd C^-1_JL).
struct InvariantTangent {
  double g = 0, h = 0, a = 0, b = 0, c = 0;
};

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

  /// Both at once.
  virtual double energy_and_stress(const Tensor2 &f, Sym2 &s) const {
    s = stress(f);
    return energy(f);
  }

  virtual PointForm point_form() const { return PointForm::any; }

  /// The tangent in its short form; false if the material has none.
  virtual bool invariant_tangent(const Tensor2 &, InvariantTangent &) const { return false; }

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
