// Orders of convergence on a smooth manufactured solution of linear elasticity over a curved body.
// Label: fast (6 s).
#include "solver/body/body.hpp"
#include <catch2/catch.hpp>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/numerics/vector_tools.h>

using namespace raybend;

namespace {

constexpr double young = 1000, poisson = 0.3;
constexpr double mu = young / (2 * (1 + poisson)),
                 lambda = young * poisson / ((1 + poisson) * (1 - 2 * poisson));

// u_i = a_i sin(k_i . x + phase_i)
constexpr double amplitude[3] = {1.0, 0.8, 1.2}, phase[3] = {0.3, 1.1, -0.4};
constexpr double wave[3][3] = {{2.0, 1.0, -0.5}, {0.7, -1.8, 1.2}, {-0.6, 1.3, 1.9}};

double argument(const Vec3 &x, unsigned i) {
  return wave[i][0] * x[0] + wave[i][1] * x[1] + wave[i][2] * x[2] + phase[i];
}

Vec3 exact(const Vec3 &x) {
  Vec3 u{};
  for (unsigned i = 0; i < 3; ++i)
    u[i] = amplitude[i] * std::sin(argument(x, i));
  return u;
}

Tensor2 exact_gradient(const Vec3 &x) {
  Tensor2 g;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j)
      g[i][j] = amplitude[i] * wave[i][j] * std::cos(argument(x, i));
  return g;
}

// -div sigma = -(lambda + mu) grad div u - mu laplace u
Vec3 body_force(const Vec3 &x) {
  Vec3 b{};
  for (unsigned i = 0; i < 3; ++i) {
    double length = 0;
    for (unsigned j = 0; j < 3; ++j) {
      const double s = amplitude[j] * std::sin(argument(x, j));
      b[i] += (lambda + mu) * wave[j][j] * wave[j][i] * s;
      length += wave[i][j] * wave[i][j];
    }
    b[i] += mu * length * amplitude[i] * std::sin(argument(x, i));
  }
  return b;
}

// sigma n on a face with normal +x
Vec3 traction(const Vec3 &x) {
  const Tensor2 g = exact_gradient(x);
  return {lambda * trace(g) + 2 * mu * g[0][0], mu * (g[0][1] + g[1][0]), mu * (g[0][2] + g[2][0])};
}

// Curved everywhere, but the face x = 1 stays plane: its normal is known.
Vec3 curved(const Vec3 &l) {
  return {l[0] + 0.2 * l[0] * (1 - l[0]) * std::cos(2 * l[1] + l[2]),
          l[1] + 0.12 * std::sin(2.5 * l[0] + l[2]),
          l[2] + 0.1 * std::sin(2 * l[0] - l[1]) + 0.1 * l[2] * l[1]};
}

struct Exact : dealii::Function<3> {
  Exact() : Function<3>(3) {}
  double value(const dealii::Point<3> &p, unsigned c) const override { return exact({p[0], p[1], p[2]})[c]; }
  dealii::Tensor<1, 3> gradient(const dealii::Point<3> &p, unsigned c) const override {
    return exact_gradient({p[0], p[1], p[2]})[c];
  }
};

} // namespace

TEST_CASE("Order three in L2 and two in H1", "[orders]") {
  // Theory: degree p gives p + 1 and p. Accepted +-0.15 on the last two refinements (verification catalogue
  // G2).
  double l2[4], h1[4];
  for (unsigned r = 0; r < 4; ++r) {
    Problem p =
        box_problem({0, 0, 0}, {1, 1, 1}, {2, 2, 2}, std::make_shared<NeoHooke>(young, poisson), curved);
    for (const unsigned id : {1u, 3u, 4u, 5u, 6u})
      p.fixed.push_back({id, {true, true, true}, exact});
    p.tractions.push_back({2, traction});
    p.body_force = body_force;
    Body body(p, r);
    body.solve_linear(1e-10);
    body.u.update_ghost_values();
    dealii::Vector<double> cells(body.level().triangulation.n_active_cells());
    for (const bool first : {true, false}) {
      dealii::VectorTools::integrate_difference(
          *body.level().mapping, body.level().dofs, body.u, Exact(), cells, dealii::QGauss<3>(5),
          first ? dealii::VectorTools::L2_norm : dealii::VectorTools::H1_seminorm);
      (first ? l2 : h1)[r] = cells.l2_norm();
    }
    body.u.zero_out_ghost_values();
  }
  for (unsigned r = 2; r < 4; ++r) {
    INFO("L2 errors " << l2[0] << " " << l2[1] << " " << l2[2] << " " << l2[3] << ", H1 errors " << h1[0]
                      << " " << h1[1] << " " << h1[2] << " " << h1[3]);
    CHECK(std::log2(l2[r - 1] / l2[r]) == Approx(3).margin(0.15));
    CHECK(std::log2(h1[r - 1] / h1[r]) == Approx(2).margin(0.15));
  }
}
