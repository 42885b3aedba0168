// Isotropic materials whose energy depends on I1 = tr C and J = det F only.
#include "solver/materials/invariant_material.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

using namespace dealii;

namespace {
Sym2 inverse_c(const Tensor2 &f) {
  return invert(symmetrize(transpose(f) * f));
}
constexpr double local_bulk = 10; // shear moduli of bulk stiffness that mixed materials keep at each point
double first_invariant(const Tensor2 &f) {
  return f.norm_square();
}
} // namespace

double InvariantMaterial::energy(const Tensor2 &f) const {
  return derivatives(first_invariant(f), determinant(f)).psi;
}

Sym2 InvariantMaterial::stress(const Tensor2 &f) const {
  Sym2 s;
  energy_and_stress(f, s);
  return s;
}

double InvariantMaterial::energy_and_stress(const Tensor2 &f, Sym2 &s) const {
  const double j = determinant(f);
  const Derivatives d = derivatives(first_invariant(f), j);
  s = 2 * d.w1 * unit_symmetric_tensor<3>() + j * d.wj * inverse_c(f);
  return d.psi;
}

bool InvariantMaterial::invariant_tangent(const Tensor2 &f, InvariantTangent &t) const {
  const double j = determinant(f);
  const Derivatives d = derivatives(first_invariant(f), j);
  t = {2 * d.w1, j * d.wj, 4 * d.w11, 2 * j * d.w1j, j * d.wj + j * j * d.wjj};
  return true;
}

void InvariantMaterial::tangent(const Tensor2 &f, Sym2 &s, Sym4 &cc) const {
  InvariantTangent t;
  invariant_tangent(f, t);
  const Sym2 ci = inverse_c(f), id = unit_symmetric_tensor<3>();
  s = t.g * id + t.h * ci;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned k = i; k < 3; ++k)
      for (unsigned m = 0; m < 3; ++m)
        for (unsigned n = m; n < 3; ++n)
          cc[i][k][m][n] = t.a * id[i][k] * id[m][n] + t.b * (id[i][k] * ci[m][n] + ci[i][k] * id[m][n]) +
                           t.c * ci[i][k] * ci[m][n] - t.h * (ci[i][m] * ci[k][n] + ci[i][n] * ci[k][m]);
}

NeoHooke::NeoHooke(double e, double nu, bool mixed)
    : mu_(e / (2 * (1 + nu))), lambda_(e * nu / ((1 + nu) * (1 - 2 * nu))), mixed_(mixed) {}

Material::VolumeEnergy NeoHooke::volume_energy(double j) const {
  const double l = std::log(j), above = std::max(0.0, lambda_ - local_bulk * mu_);
  return {above / 2 * l * l, above * l / j, above * (1 - l) / (j * j)};
}

NeoHooke NeoHooke::from_lame(double mu, double lambda, bool mixed) {
  NeoHooke m;
  m.mixed_ = mixed;
  m.mu_ = mu;
  m.lambda_ = lambda;
  return m;
}

InvariantMaterial::Derivatives NeoHooke::derivatives(double i1, double j) const {
  const double l = std::log(j);
  return {mu_ / 2 * (i1 - 3) - mu_ * l + lambda_ / 2 * l * l,
          mu_ / 2,
          (lambda_ * l - mu_) / j,
          0,
          0,
          (mu_ + lambda_ - lambda_ * l) / (j * j)};
}

SoftTissue::SoftTissue(double mu, double stiffening, double bulk, bool mixed)
    : mu_(mu), b_(stiffening), k_(bulk), mixed_(mixed) {}

Material::VolumeEnergy SoftTissue::volume_energy(double j) const {
  return volume(j, std::max(0.0, k_ - local_bulk * mu_));
}

Material::VolumeEnergy SoftTissue::volume(double j, double bulk) {
  constexpr double c = 6;
  const double j3 = j * j * j, jc = 1 / (j3 * j3);
  return {bulk / (c * c) * (c * std::log(j) + jc - 1), bulk / c * (1 - jc) / j,
          bulk / c * ((1 + c) * jc - 1) / (j * j)};
}

InvariantMaterial::Derivatives SoftTissue::derivatives(double i1, double j) const {
  const double j23 = std::pow(j, -2.0 / 3.0), i1_bar = j23 * i1, x = i1_bar - 3;
  const double grow = std::exp(std::min(b_ * x, 60.0)); // beyond it the energy only has to be huge
  const double f = mu_ / 2 * grow, df = mu_ * b_ / 2 * grow;
  const double x_j = -2.0 / 3.0 * i1_bar / j, x_jj = 10.0 / 9.0 * i1_bar / (j * j);
  const VolumeEnergy volume = SoftTissue::volume(j, k_);
  const double energy = b_ > 0 ? mu_ / (2 * b_) * std::expm1(std::min(b_ * x, 60.0)) : mu_ / 2 * x;
  return {energy + volume.value,
          f * j23,
          f * x_j + volume.slope,
          df * j23 * j23,
          df * j23 * x_j - 2.0 / 3.0 * f * j23 / j,
          df * x_j * x_j + f * x_jj + volume.curvature};
}

GasFoam::GasFoam(double e, double nu, double gas_pressure, double relative_density)
    : mu_(e / (2 * (1 + nu))), lambda_(e * nu / ((1 + nu) * (1 - 2 * nu))), p0_(gas_pressure),
      r_(relative_density), walls_(0.07 * mu_) {}

InvariantMaterial::Derivatives GasFoam::derivatives(double i1, double j) const {
  const double l = std::log(j), a = 1 - r_, y = j - r_, x = a / y, x_j = -x / y, x_jj = 2 * x / (y * y);
  const double j23 = std::pow(j, -2.0 / 3.0), bar = j23 * i1, bar_j = -2.0 / 3.0 * bar / j,
               bar_jj = 10.0 / 9.0 * bar / (j * j), half = walls_ / 2;
  return {mu_ / 2 * (i1 - 3) - mu_ * l + lambda_ / 2 * l * l + p0_ * (a * std::log(x) + j - 1) +
              half * (x - 1) * (bar - 3),
          mu_ / 2 + half * (x - 1) * j23,
          (lambda_ * l - mu_) / j - p0_ * (x - 1) + half * (x_j * (bar - 3) + (x - 1) * bar_j),
          0,
          half * j23 * (x_j - 2.0 / 3.0 * (x - 1) / j),
          (mu_ + lambda_ - lambda_ * l) / (j * j) + p0_ * x / y +
              half * (x_jj * (bar - 3) + 2 * x_j * bar_j + (x - 1) * bar_jj)};
}

} // namespace raybend
