#include "solver/body/dilatation.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>
#include <deal.II/lac/full_matrix.h>

namespace raybend {

using namespace dealii;

Dilatation::Dilatation(const Level &level, const Vector &u, const DoFHandler<3>::active_cell_iterator &cell) {
  const QGauss<3> quadrature(n_points_1d);
  FEValues<3> values(*level.mapping, level.fe, quadrature,
                     update_gradients | update_quadrature_points | update_JxW_values);
  values.reinit(cell);
  std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
  cell->get_dof_indices(index);
  double volume = 0;
  for (unsigned q = 0; q < quadrature.size(); ++q) {
    volume += values.JxW(q);
    centre_ += values.JxW(q) * values.quadrature_point(q);
  }
  centre_ /= volume;
  size_ = std::cbrt(volume);
  FullMatrix<double> mass(4, 4);
  dealii::Vector<double> moments(4), solution(4);
  for (unsigned q = 0; q < quadrature.size(); ++q) {
    double divergence = 0;
    for (unsigned i = 0; i < index.size(); ++i)
      divergence += u[index[i]] * values.shape_grad(i, q)[level.fe.system_to_component_index(i).first];
    const Tensor<1, 3> x = (values.quadrature_point(q) - centre_) / size_;
    const double n[4] = {1, x[0], x[1], x[2]};
    for (unsigned a = 0; a < 4; ++a) {
      moments[a] += values.JxW(q) * n[a] * divergence;
      for (unsigned b = 0; b < 4; ++b)
        mass(a, b) += values.JxW(q) * n[a] * n[b];
    }
  }
  mass.gauss_jordan();
  mass.vmult(solution, moments);
  for (unsigned a = 0; a < 4; ++a)
    coefficients_[a] = solution[a];
}

double Dilatation::operator()(const Vec3 &place) const {
  double sum = coefficients_[0];
  for (unsigned c = 0; c < 3; ++c)
    sum += coefficients_[c + 1] * (place[c] - centre_[c]) / size_;
  return sum;
}

} // namespace raybend
