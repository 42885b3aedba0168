// The smoother's node blocks: exact inverses of the tangent's blocks for lines through flat cells.
// Label: fast (1 s). Outside reference: none, an identity: the inverse of a principal block, applied to that
// block's product, gives the vector back.
#include "solver/body/body.hpp"
#include "solver/materials/invariant_material.hpp"
#include "solver/multigrid/node_blocks.hpp"
#include <catch2/catch.hpp>
#include <random>

using namespace raybend;

namespace {

// Largest error, relative to 1, of blocks^-1 (A x)_S - x over the unknowns S whose node is in `where`; x is
// random on S and zero elsewhere.
double block_error(const Problem &problem, const std::function<bool(const Vec3 &)> &where,
                   unsigned unknowns) {
  Body body(problem, 1);
  SolidOperator &op = body.op();
  const Level &level = op.level();
  Vector inside(body.u), x(body.u), product(body.u), back(body.u);
  std::vector<dealii::types::global_dof_index> index(level.fe.n_dofs_per_cell());
  const auto &support = level.fe.get_unit_support_points();
  for (const auto &cell : level.dofs.active_cell_iterators()) {
    cell->get_dof_indices(index);
    for (unsigned i = 0; i < index.size(); ++i)
      inside[index[i]] = where(Level::logical_point(cell, support[i])) ? 1 : 0;
  }
  REQUIRE(inside.l1_norm() == unknowns);
  std::mt19937 random(7);
  std::uniform_real_distribution<double> uniform(-1, 1);
  for (unsigned i = 0; i < x.locally_owned_size(); ++i)
    x.local_element(i) = inside.local_element(i) * uniform(random);
  body.u = 0;
  op.linearize(body.u, 1.0, false);
  op.vmult(product, x);
  product.scale(inside);
  NodeBlocks blocks;
  blocks.reinit(op);
  blocks.update(op);
  RoughVector rough_product, rough_back;
  op.level().initialize(rough_product);
  op.level().initialize(rough_back);
  rough_product = product;
  blocks.vmult(rough_back, rough_product);
  back = rough_back;
  back -= x;
  back.scale(inside);
  return back.linfty_norm();
}

Problem plate(double thickness, bool mixed) {
  Problem p = box_problem({0, 0, 0}, {8, 8, thickness}, {2, 2, 2},
                          std::make_shared<NeoHooke>(1.0, mixed ? 0.49 : 0.3, mixed));
  p.springs = {{5, {0, 0, 1}, 0.5, 0.1, false}};
  return p;
}

bool on_line(const Vec3 &p) {
  return std::abs(p[0] - 2) < 1e-9 && std::abs(p[1] - 2) < 1e-9;
}

} // namespace

TEST_CASE("Lines through flat cells are inverted together", "[patch]") {
  const bool mixed = GENERATE(false, true);
  INFO((mixed ? "mixed" : "displacement"));
  // 4 cells through the thickness: 9 nodes a line. 1e-4: single precision, condition of a thin line.
  CHECK(block_error(plate(1, mixed), on_line, 27) < 1e-4);
}

TEST_CASE("Nodes of cubes are inverted one by one", "[patch]") {
  CHECK(block_error(
            plate(8, false), [](const Vec3 &p) { return on_line(p) && std::abs(p[2] - 2) < 1e-9; }, 3) <
        1e-5);
  CHECK(block_error(plate(8, false), on_line, 27) > 0.05); // the line as a whole is no block
}
