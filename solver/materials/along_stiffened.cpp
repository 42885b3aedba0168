// Energy, stress and tangent of a material stiffened along one direction.
#include "solver/materials/along_stiffened.hpp"

namespace raybend {

using namespace dealii;

AlongStiffened::AlongStiffened(MaterialPtr base, const double e_along, const Tensor<1, 3> &along)
    : base_(std::move(base)), e_(e_along), a_(along / along.norm()), aa_(symmetrize(outer_product(a_, a_))) {}

double AlongStiffened::strain(const Tensor2 &f) const {
  const Tensor<1, 3> fa = f * a_;
  return (fa * fa - 1) / 2;
}

double AlongStiffened::energy(const Tensor2 &f) const {
  const double e = strain(f);
  return base_->energy(f) + e_ / 2 * e * e;
}

Sym2 AlongStiffened::stress(const Tensor2 &f) const {
  return base_->stress(f) + e_ * strain(f) * aa_;
}

void AlongStiffened::tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const {
  base_->tangent(f, s, cc);
  s += e_ * strain(f) * aa_;
  cc += e_ * outer_product(aa_, aa_);
}

} // namespace raybend
