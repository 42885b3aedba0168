// Large deflection of a clamped strip under a dead tip load: the elastica.
// Label: fast (3 s).
#include "solver/body/body.hpp"
#include <catch2/catch.hpp>

using namespace raybend;

TEST_CASE("F1: elastica", "[elastica]") {
  // Mattiasson 1981, table 1 (values by quadrature, calc; read citations agree at four of them). L = 100, b =
  // 10, h = 2, E = 12000, nu = 0: EI = 80000, P = 8 x parameter. 1 %: the theory neither stretches nor shears
  // (L/h = 50: 0.03 % of shear), the neo-Hookean strip at h/2R < 2.5 % strain departs from linear by as much
  // near the clamp at the highest load.
  const double length = 100, b = 10, h = 2;
  Problem p =
      box_problem({0, 0, -h / 2}, {length, b, h / 2}, {10, 1, 1}, std::make_shared<NeoHooke>(12000, 0));
  p.fixed = {{1, {true, true, true}, {}}};
  p.tractions = {{2, [=](const Vec3 &) { return Vec3{0, 0, 8 / (b * h)}; }}};
  Body body(p, 1);
  struct Row {
    double parameter, w, u;
  };
  double reached = 0;
  unsigned steps = 0;
  for (const Row &row : {Row{1, 0.30172, 0.05643}, Row{3, 0.60325, 0.25442}, Row{10, 0.81061, 0.55500}}) {
    while (reached < row.parameter) {
      reached = std::min(row.parameter, reached + 1);
      const NewtonReport report = body.solve(reached, 8 * reached, 1e-8, 60);
      steps += report.steps;
      INFO("parameter " << reached << ": " << report.reason << ", residual " << report.residual << ", steps "
                        << report.steps << ", CG " << report.cg_iterations);
      REQUIRE(report.converged);
    }
    const Sample tip = body.at({length, b / 2, 0});
    INFO("PL^2/EI = " << row.parameter << ": w/L " << tip.u[2] / length << ", u/L " << -tip.u[0] / length
                      << "; " << steps << " Newton steps so far");
    CHECK(tip.u[2] / length == Approx(row.w).epsilon(0.01));
    CHECK(-tip.u[0] / length == Approx(row.u).epsilon(0.01));
  }
}
