// Transfer between levels by place. Label: fast (1 s). Outside reference: none, two identities: a rigid turn
// of the coarse mesh is the same turn of the fine one, and the restriction is the transpose of the
// prolongation.
#include "solver/body/body.hpp"
#include "solver/materials/invariant_material.hpp"
#include "solver/multigrid/place_transfer.hpp"
#include <catch2/catch.hpp>
#include <deal.II/multigrid/mg_transfer_global_coarsening.h>
#include <random>

using namespace raybend;

namespace {

// A quarter of a ring, radii 10 and 14 mm, in two by one by one cells: coarse ones lie up to 0.1 mm off.
Problem quarter_ring() {
  Problem p = box_problem({0, 0, 0}, {1, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1.0, 0.3));
  p.position = [](const Vec3 &l) {
    const double angle = 1.5707963267948966 * l[0], r = 10 + 4 * l[1];
    return Vec3{r * std::sin(angle), r * std::cos(angle), 3 * l[2]};
  };
  return p;
}

// Displacement of a turn by 0.3 about the z axis.
Vector turned(const Level &level) {
  Vector u;
  level.initialize(u);
  std::vector<dealii::types::global_dof_index> index(level.fe.n_dofs_per_cell());
  for (const auto &cell : level.dofs.active_cell_iterators()) {
    cell->get_dof_indices(index);
    for (unsigned n = 0; n < 27; ++n) {
      unsigned k[3];
      for (unsigned c = 0; c < 3; ++c)
        k[c] = index[level.fe.component_to_system_index(c, n)];
      const double x = level.position[k[0]], y = level.position[k[1]];
      u[k[0]] = std::cos(0.3) * x - std::sin(0.3) * y - x;
      u[k[1]] = std::sin(0.3) * x + std::cos(0.3) * y - y;
    }
  }
  return u;
}

struct Pair {
  Problem problem = quarter_ring();
  Level coarse{problem, 0, MPI_COMM_WORLD}, fine{problem, 1, MPI_COMM_WORLD};
  SolidOperator op{problem, fine};
  PlaceTransfer transfer;

  Pair() { transfer.reinit(op, coarse); }
};

} // namespace

TEST_CASE("A turn carried to the finer level is the same turn", "[patch]") {
  const Pair p;
  const Vector below = turned(p.coarse);
  Vector error = turned(p.fine);
  error *= -1;
  Vector embedded(error);
  p.transfer.prolongate_and_add(error, below);
  CHECK(error.linfty_norm() < 1e-5); // weights in single precision

  // What it is for: the plain embedding is not.
  dealii::MGTwoLevelTransfer<3, Vector> embedding;
  embedding.reinit_geometric_transfer(p.fine.dofs, p.coarse.dofs, p.fine.constraints, p.coarse.constraints);
  embedding.prolongate_and_add(embedded, below);
  CHECK(embedded.linfty_norm() > 1e-3);
}

TEST_CASE("Residuals go down by the transpose", "[patch]") {
  const Pair p;
  Vector above, below, up, down;
  for (Vector *v : {&above, &up})
    p.fine.initialize(*v);
  for (Vector *v : {&below, &down})
    p.coarse.initialize(*v);
  std::mt19937 random(3);
  std::uniform_real_distribution<double> uniform(-1, 1);
  for (Vector *v : {&above, &below})
    for (unsigned i = 0; i < v->locally_owned_size(); ++i)
      v->local_element(i) = uniform(random);
  p.transfer.prolongate_and_add(up, below);
  p.transfer.restrict_and_add(down, above);
  CHECK(up * above == Approx(down * below).epsilon(1e-10));
}
