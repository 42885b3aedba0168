// Nearly incompressible cells: the volume change projected on linear functions.
#include "solver/operator/mixed_cell.hpp"
#include <deal.II/lac/full_matrix.h>

namespace raybend {

using namespace dealii;

void MixedCell::reinit(const std::array<Point<3>, points> &place, const Values &weight) {
  w = weight;
  centre_ = Point<3>();
  double volume = 0;
  for (unsigned q = 0; q < points; ++q) {
    centre_ += w[q] * place[q];
    volume += w[q];
  }
  centre_ /= volume;
  size_ = std::cbrt(volume);
  FullMatrix<double> mass(4, 4);
  for (unsigned q = 0; q < points; ++q) {
    n[q][0] = 1;
    for (unsigned k = 0; k < 3; ++k)
      n[q][k + 1] = (place[q][k] - centre_[k]) / size_;
    for (unsigned a = 0; a < 4; ++a)
      for (unsigned b = 0; b < 4; ++b)
        mass(a, b) += w[q] * n[q][a] * n[q][b];
  }
  mass.gauss_jordan();
  for (unsigned a = 0; a < 4; ++a)
    for (unsigned b = 0; b < 4; ++b)
      inverse_mass_[a][b] = mass(a, b);
}

MixedCell::Coefficients MixedCell::coefficients(const Values &values) const {
  double moment[4] = {};
  Coefficients coefficient{};
  for (unsigned q = 0; q < points; ++q)
    for (unsigned a = 0; a < 4; ++a)
      moment[a] += w[q] * n[q][a] * values[q];
  for (unsigned a = 0; a < 4; ++a)
    for (unsigned b = 0; b < 4; ++b)
      coefficient[a] += inverse_mass_[a][b] * moment[b];
  return coefficient;
}

MixedCell::Values MixedCell::project(const Values &values) const {
  const Coefficients coefficient = coefficients(values);
  Values result;
  for (unsigned q = 0; q < points; ++q)
    result[q] = n[q][0] * coefficient[0] + n[q][1] * coefficient[1] + n[q][2] * coefficient[2] +
                n[q][3] * coefficient[3];
  return result;
}

double MixedCell::at(const Point<3> &place, const Coefficients &c) const {
  double sum = c[0];
  for (unsigned k = 0; k < 3; ++k)
    sum += c[k + 1] * (place[k] - centre_[k]) / size_;
  return sum;
}

std::array<std::array<double, 4>, 4> MixedCell::stiffness(const Values &curvature) const {
  std::array<std::array<double, 4>, 4> q{}, half{}, h{};
  for (unsigned p = 0; p < points; ++p)
    for (unsigned a = 0; a < 4; ++a)
      for (unsigned b = 0; b < 4; ++b)
        q[a][b] += w[p] * curvature[p] * n[p][a] * n[p][b];
  for (unsigned a = 0; a < 4; ++a)
    for (unsigned b = 0; b < 4; ++b)
      for (unsigned c = 0; c < 4; ++c)
        half[a][b] += inverse_mass_[a][c] * q[c][b];
  for (unsigned a = 0; a < 4; ++a)
    for (unsigned b = 0; b < 4; ++b)
      for (unsigned c = 0; c < 4; ++c)
        h[a][b] += half[a][c] * inverse_mass_[c][b];
  return h;
}

ProjectedVolume project_volume(const Material &material, const MixedCell &cell, const MixedCell::Values &j) {
  ProjectedVolume v;
  v.theta = cell.project(j);
  MixedCell::Values slope;
  for (unsigned q = 0; q < MixedCell::points; ++q) {
    v.admissible = v.admissible && v.theta[q] > least_projected_volume;
    v.theta[q] = std::max(v.theta[q], least_projected_volume);
    const Material::VolumeEnergy u = material.volume_energy(v.theta[q]);
    slope[q] = u.slope;
    v.curvature[q] = u.curvature;
  }
  v.pressure = cell.project(slope);
  return v;
}

bool project_pressure(const Material &material, const MixedCell &cell, const Tensor2 *f, Sym2 *s,
                      MixedCell::Values *theta) {
  MixedCell::Values j;
  for (unsigned q = 0; q < MixedCell::points; ++q)
    j[q] = determinant(f[q]);
  const ProjectedVolume volume = project_volume(material, cell, j);
  if (!volume.admissible)
    return false;
  for (unsigned q = 0; q < MixedCell::points; ++q) {
    const double extra = volume.pressure[q] - material.volume_energy(j[q]).slope;
    s[q] += extra * j[q] * invert(symmetrize(transpose(f[q]) * f[q]));
  }
  if (theta)
    *theta = volume.theta;
  return true;
}

} // namespace raybend
