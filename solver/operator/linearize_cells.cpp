// From the stored linearization to the fast products: mixed cells and kernels.
#include "solver/operator/solid_operator.hpp"
#include "solver/operator/tangent_blocks.hpp"
#include "solver/operator/unit_gradients.hpp"

namespace raybend {

using namespace dealii;

namespace {
Tensor2 inverse_jacobian(const Tensor<2, 3, VectorizedArray<double>> &wide) { // rows: real coordinates
  Tensor2 plain;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j)
      plain[i][j] = wide[i][j][0];
  return plain;
}
} // namespace

void SolidOperator::make_mixed_cells() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  mixed_of_.assign(mf.n_cell_batches(), -1);
  mixed_.clear();
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const unsigned *index = &material_[c * n_q];
    if (!problem_->materials[index[0]]->mixed() ||
        std::any_of(index, index + n_q, [&](unsigned i) { return i != index[0]; }))
      continue;
    phi.reinit(c);
    std::array<Point<3>, n_q> place;
    MixedCell::Values weight;
    for (unsigned q = 0; q < n_q; ++q) {
      const auto p = phi.quadrature_point(q);
      place[q] = Point<3>(p[0][0], p[1][0], p[2][0]);
      weight[q] = phi.JxW(q)[0];
    }
    mixed_of_[c] = mixed_.size();
    mixed_.emplace_back();
    mixed_.back().reinit(place, weight);
  }
  volume_stiffness_.resize(mixed_.size());
  std::vector<char> mixed(mixed_of_.size());
  for (unsigned c = 0; c < mixed.size(); ++c)
    mixed[c] = mixed_of_[c] >= 0;
  exact_.reinit(level_, mixed);
  rough_.reinit(level_, mixed);
  exact_ready_ = false;
}

void SolidOperator::linearize_mixed(unsigned batch) {
  const MixedCell &cell = mixed_[mixed_of_[batch]];
  const Material &material = *problem_->materials[material_[batch * n_q]];
  Linearized *points = &linearized_[batch * n_q];
  MixedCell::Values j, slope, curvature;
  for (unsigned q = 0; q < n_q; ++q)
    j[q] = determinant(points[q].f);
  const MixedCell::Values theta = cell.project(j);
  for (unsigned q = 0; q < n_q; ++q) {
    const Material::VolumeEnergy u = material.volume_energy(std::max(theta[q], 0.05));
    slope[q] = u.slope;
    curvature[q] = u.curvature;
  }
  const MixedCell::Values p = cell.project(slope);
  volume_stiffness_[mixed_of_[batch]] = cell.stiffness(curvature);
  // dS of the pressure part q J C^-1 with q held is q J (C^-1 (x) C^-1 - 2 C^-1 (.) C^-1); J^2 U'' C^-1 (x)
  // C^-1 of the law's own tangent is what the projection replaces.
  for (unsigned q = 0; q < n_q; ++q) {
    Linearized &point = points[q];
    const Material::VolumeEnergy u = material.volume_energy(j[q]);
    const double extra = (p[q] - u.slope) * j[q], both = extra - u.curvature * j[q] * j[q];
    const Sym2 ci = invert(symmetrize(transpose(point.f) * point.f));
    point.s += extra * ci;
    for (unsigned i = 0; i < 3; ++i)
      for (unsigned k = i; k < 3; ++k)
        for (unsigned m = 0; m < 3; ++m)
          for (unsigned n = m; n < 3; ++n)
            point.cc[i][k][m][n] +=
                both * ci[i][k] * ci[m][n] - extra * (ci[i][m] * ci[k][n] + ci[i][n] * ci[k][m]);
  }
}

void SolidOperator::fill_kernels(bool on_level) {
  CellEval phi(level_.matrix_free);
  exact_ready_ = !on_level;
  for (unsigned c = 0; c < mixed_of_.size(); ++c) {
    phi.reinit(c);
    const int mixed = mixed_of_[c];
    for (unsigned q = 0; q < n_q; ++q) {
      const Linearized &p = linearized_[c * n_q + q];
      Tensor2 a[3][3];
      for (unsigned i = 0; i < 3; ++i)
        for (unsigned k = i; k < 3; ++k)
          tangent_block(p.f, p.s, p.cc, i, k, a[i][k]);
      const Tensor2 inverse = inverse_jacobian(phi.inverse_jacobian(q));
      const double weight = phi.JxW(q)[0];
      rough_.set_point(c, q, a, inverse, weight);
      if (exact_ready_)
        exact_.set_point(c, q, a, inverse, weight);
      if (mixed < 0)
        continue;
      const Tensor2 cofactor = determinant(p.f) * transpose(invert(p.f));
      rough_.set_volume_point(c, q, cofactor, inverse, weight, mixed_[mixed].n[q]);
      if (exact_ready_)
        exact_.set_volume_point(c, q, cofactor, inverse, weight, mixed_[mixed].n[q]);
    }
    if (mixed >= 0) {
      rough_.set_volume_stiffness(c, volume_stiffness_[mixed]);
      if (exact_ready_)
        exact_.set_volume_stiffness(c, volume_stiffness_[mixed]);
    }
  }
}

void SolidOperator::volume_moments(unsigned batch, CellEval &phi, double (&moments)[4][81]) const {
  constexpr unsigned nodes = 27;
  const UnitGradients &unit_gradients = unit_shape_gradients();
  const MixedCell &cell = mixed_[mixed_of_[batch]];
  for (auto &row : moments)
    std::fill(std::begin(row), std::end(row), 0.0);
  for (unsigned q = 0; q < n_q; ++q) {
    const Tensor2 &f = linearized_[batch * n_q + q].f;
    const Tensor2 unit =
        phi.JxW(q)[0] * determinant(f) * (transpose(invert(f)) * inverse_jacobian(phi.inverse_jacobian(q)));
    for (unsigned c = 0; c < 3; ++c)
      for (unsigned i = 0; i < nodes; ++i) {
        const double change = unit[c] * unit_gradients[q][i];
        for (unsigned a = 0; a < 4; ++a)
          moments[a][c * nodes + i] += cell.n[q][a] * change;
      }
  }
}

} // namespace raybend
