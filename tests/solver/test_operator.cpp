// The operator: its fast tangent against the one written as the weak form reads, both against differences; rigid-body
// modes, rotations, the carrier's balance. Label: fast (3 s).
#include "solver/body/body.hpp"
#include "solver/materials/along_stiffened.hpp"
#include "solver/materials/hyperfoam.hpp"
#include "solver/materials/transverse_bone.hpp"
#include "tests/solver/reference_tangent.hpp"
#include <catch2/catch.hpp>
#include <deal.II/lac/lapack_full_matrix.h>
#include <deal.II/numerics/vector_tools.h>
#include <random>

using namespace raybend;

namespace {

// A curved, distorted body of two cells.
Vec3 bent(const Vec3 &l) {
  return {l[0] + 0.15 * l[1] * l[1] + 0.1 * l[0] * l[2], l[1] + 0.12 * l[0] * l[0] - 0.1 * l[1] * l[2],
          l[2] + 0.1 * l[0] * l[1]};
}

// Sets u = field(X) at every node.
void interpolate(Body &body, const std::function<Vec3(const Vec3 &)> &field) {
  struct Wrapped : dealii::Function<3> {
    const std::function<Vec3(const Vec3 &)> &f;
    explicit Wrapped(const std::function<Vec3(const Vec3 &)> &f) : Function<3>(3), f(f) {}
    double value(const dealii::Point<3> &p, unsigned c) const override { return f({p[0], p[1], p[2]})[c]; }
  } wrapped(field);
  dealii::VectorTools::interpolate(*body.level().mapping, body.level().dofs, wrapped, body.u);
}

// Two curved boxes one above the other with everything the operator knows: contact, ground that grips and
// slides, springs in space, on the slide and on a carrier of two modes, ties, tractions, body force, region
// forces. No unknown is prescribed.
Problem full_problem() {
  Problem p = box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1.0, 0.3));
  append(p.mesh, box_mesh({0, 0, -2}, {2, 1, -1}, {2, 1, 1}, 2), 10);
  p.materials.push_back(std::make_shared<GasFoam>(1.2, 0.1, 0.1, 0.2));
  p.material_at = [](const Vec3 &, unsigned tag) { return tag - 1; };
  // The lower body is pushed up by 0.95 to 1.05: part of the faces overlap, part gape.
  p.position = [](const Vec3 &l) {
    const Vec3 q = bent({l[0], l[1], l[2] < -0.5 ? l[2] + 1 : l[2]});
    return l[2] < -0.5 ? q + Vec3{0, 0, 0.05 * (l[0] - 1)} : q;
  };
  const Vec3 up = unit({-0.2, 0.1, 1});
  p.contact.push_back({5, 16, 2, 3.0, up, {0, 0, 1}, 0.4});
  p.ground.push_back({15,
                      2.0,
                      up,
                      {0, 0, 1},
                      [](const Vec3 &x) { return 0.05 * (x[0] - 1); },
                      [](const Vec3 &x) { return 0.3 * x[0]; }});
  const Vec3 forward = unit({1, 0, 0.2});
  p.slide = {[forward](const Vec3 &) { return forward; }, [](const Vec3 &x) { return Vec3{-x[1], x[0], 0}; }};
  p.springs.push_back({1, {1, 0, 0}, 0.5, 0.2, true});
  p.springs.push_back({12, {0, 1, 0}, 0.3, 0.1, false});
  p.springs.push_back({14, {0, 1, 0}, 0.2, 0.4, false, true});
  p.tractions.push_back({6, [](const Vec3 &x) { return Vec3{0.01, 0.02 * x[0], -0.05}; }});
  p.body_force = [](const Vec3 &x) { return Vec3{0, 0, -0.02 * x[1]}; };
  p.carrier.modes = {[up](const Vec3 &) { return up; }, [](const Vec3 &x) { return Vec3{0, -x[2], x[1]}; }};
  p.carrier.force = 0.3;
  const auto end = [](double from) {
    return [from](const Vec3 &l, unsigned tag) { return tag == 1 && l[0] > from ? l[0] - from : 0.0; };
  };
  p.ties.push_back({end(1.0), unit({1, 0, 0.3}), {-3, 0.2, 0.1}, 0.2, 0.7, 0.1}); // taut
  p.ties.push_back(
      {end(0.5), unit({1, 0.1, 0}), {-3, -0.2, 0.1}, -5.0, 0.4, 0.05}); // slack but for its constant part
  // Two that swing: one on the carrier and one between two regions, short enough to turn.
  p.ties.push_back({end(0.5), unit({1, 0.2, -0.1}), {-1, 0.1, 0.3}, 0.3, 0.5, 0.1});
  p.ties.back().length = 2.5;
  p.ties.push_back({end(1.0), unit({1, 0, 0.3}), {}, 0.2, 0.6, 0, [](const Vec3 &l, unsigned tag) {
                      return tag == 1 && l[0] < 1 ? 1 - l[0] : 0.0;
                    }});
  p.ties.back().length = 0.8;
  // A stop between two regions that hang on the carrier at anchors of their own.
  Tie stop{end(1.0), unit({1, 0.1, 0.2}), {0.9, 0.2, 0.3}, 0, 0};
  stop.other = [](const Vec3 &l, unsigned tag) { return tag == 1 && l[0] < 1 ? 1 - l[0] : 0.0; };
  stop.both_on_carrier = true;
  stop.other_anchor = {0.1, 0.2, 0.1};
  stop.stop = 0.3;
  stop.stop_force = 0.7;
  p.ties.push_back(stop);
  p.carrier.holding = {{}, {0.4, {0.2}, {0.05}}};
  p.region_forces.push_back({end(1.0), {0, 0, 0.1}});
  return p;
}

// Materials of every point form (point_tangent.hpp), once refined: cells of a volume law (17 numbers), an invariant one (28),
// two that project the volume (32) and two that are neither (45); a cell of a volume law beside a general one (a short
// tangent among long ones), and one half of a mixed material, which then projects nothing.
void every_point_form(Problem &p) {
  const dealii::Tensor<1, 3> along({0.8, 0.6, 0});
  p.materials = {std::make_shared<NeoHooke>(1.0, 0.3),
                 std::make_shared<SoftTissue>(0.3, 1.5, 2.0, false),
                 std::make_shared<SoftTissue>(0.3, 1.5, 12.0),
                 std::make_shared<NeoHooke>(1.0, 0.49, true),
                 std::make_shared<TransverseBone>(3, 2, 0.3, 0.7, along),
                 std::make_shared<GasFoam>(1.2, 0.1, 0.1, 0.2),
                 std::make_shared<Hyperfoam>(0.5, 8.0, 0.2),
                 std::make_shared<AlongStiffened>(std::make_shared<GasFoam>(1.2, 0.1, 0.1, 0.2), 4, along)};
  p.material_at = [](const Vec3 &l, unsigned tag) -> unsigned {
    if (tag == 2)
      return l[0] < 0.75 ? 5 : l[0] < 1.5 ? 6 : 7; // the second column of cells: half foam, half hyperfoam
    if (l[1] < 0.5)
      return l[0] < 1 ? (l[2] < 0.5 ? 1 : 2) : l[2] < 0.5 ? 4 : 3;
    return l[0] < 0.25 ? 3 : l[0] < 0.5 ? 0 : l[0] < 1 ? 2 : l[0] < 1.5 ? 1 : 0; // the first: half mixed
  };
}

// Largest difference of entries, as a part of the largest.
double apart(const dealii::FullMatrix<double> &a, const dealii::FullMatrix<double> &b) {
  dealii::FullMatrix<double> difference(a);
  difference.add(-1, b);
  double most = 0, size = 0;
  for (unsigned i = 0; i < a.m(); ++i)
    for (unsigned j = 0; j < a.n(); ++j) {
      most = std::max(most, std::abs(difference(i, j)));
      size = std::max(size, std::abs(b(i, j)));
    }
  return most / size;
}

double apart(const Vector &a, const Vector &b) {
  Vector difference(a);
  difference.add(-1, b);
  return difference.l2_norm() / b.l2_norm();
}

} // namespace

TEST_CASE("The fast tangent is the one that the weak form says", "[operator]") {
  // Outside reference: reference_tangent.hpp, written from the weak form with deal.II's packaged evaluation; it is held
  // against differences of the residual, and the residual against differences of the energy.
  Problem p = full_problem();
  every_point_form(p);
  p.fixed = {{4, {true, false, false}, {}}};
  Body body(p, 1);
  SolidOperator &op = body.op();
  const auto &fixed = op.level().constraints;
  std::mt19937 random(5);
  std::uniform_real_distribution<double> uniform(-1, 1);
  Vector direction(body.u), other(body.u), image(body.u), back(body.u);
  interpolate(body, [](const Vec3 &x) {
    return Vec3{0.05 * x[1] * x[0], -0.3 * x[1] + 0.03 * x[2], -0.04 * x[0] * x[0]};
  });
  for (unsigned i = 0; i < body.u.locally_owned_size(); ++i) {
    body.u.local_element(i) += 0.002 * uniform(random);
    direction.local_element(i) = uniform(random);
    other.local_element(i) = uniform(random);
  }
  for (Vector *v : {&direction, &other})
    fixed.set_zero(*v);
  const double load = 0.8;

  // Everything is at work: part of the contact and of the ground bear, one tie is taut, one slack, two swing.
  op.linearize(body.u, load, false);
  Vector active, all;
  op.faces().activity(active, all);
  const double bearing = active.l1_norm() / all.l1_norm();
  CHECK((bearing > 0.05 && bearing < 0.95));
  CHECK(op.faces().ground_force(body.u) > 0);
  const auto tension = op.ties().tensions(body.u, load);
  CHECK(tension[0] > 0.1 * load);
  CHECK(tension[1] == Approx(0.05 * load).epsilon(1e-14));
  CHECK(tension[2] > 0.2 * load);
  CHECK(tension[3] > 0.1 * load);
  CHECK(tension[4] != 0); // the stop

  // The energy's slope is the residual. Central differences of fourth order with a step that leaves the sets of
  // bearing points as they are.
  const double h = 2e-6;
  const auto along = [&](double step, Vector *residual) {
    Vector v(body.u);
    v.add(step, direction);
    const SolidOperator::Evaluation there = op.evaluate(v, load, residual);
    REQUIRE(there.admissible);
    return there.energy;
  };
  const auto residual = [&](double step) {
    Vector r(body.u);
    along(step, &r);
    return r;
  };
  const double slope =
      (8 * (along(h, nullptr) - along(-h, nullptr)) - (along(2 * h, nullptr) - along(-2 * h, nullptr))) /
      (12 * h);
  CHECK(slope == Approx(residual(0) * direction).epsilon(1e-6));

  // The residual's slope is the reference.
  const ReferenceTangent reference =
      reference_tangent(p, op.level(), body.u, op.ties().motion(body.u, load), load);
  for (const double s : reference.slope)
    CHECK(std::abs(s) < 1e-12 * (1 + residual(0).l2_norm())); // w is the motion that belongs to u
  const unsigned n = op.m();
  const auto times = [&](const dealii::FullMatrix<double> &matrix, const Vector &x) {
    dealii::Vector<double> from(n), to(n);
    std::copy(x.begin(), x.begin() + n, from.begin());
    matrix.vmult(to, from);
    Vector y(x);
    std::copy(to.begin(), to.end(), y.begin());
    fixed.set_zero(y);
    return y;
  };
  Vector difference = residual(h);
  difference.add(-1.0, residual(-h));
  difference *= 8 / (12 * h);
  difference.add(-1 / (12 * h), residual(2 * h), 1 / (12 * h), residual(-2 * h));
  const Vector right = times(reference.whole, direction);
  CHECK(apart(difference, right) < 1e-6);

  // Products in double and in single precision, and symmetry.
  op.vmult(image, direction);
  CHECK(apart(image, right) < 1e-10);
  op.vmult(back, other);
  CHECK(image * other == Approx(back * direction).epsilon(1e-11));
  op.rough_vmult(image, direction);
  CHECK(apart(image, right) < 1e-5);
  RoughVector rough_direction, rough_image;
  op.level().initialize(rough_direction);
  op.level().initialize(rough_image);
  rough_direction = direction;
  op.rough_vmult(rough_image, rough_direction);
  image = rough_image;
  CHECK(apart(image, right) < 1e-5);

  // The diagonal; one at what is fixed.
  Vector diagonal(body.u), wanted(body.u);
  op.compute_diagonal(diagonal);
  for (unsigned i = 0; i < n; ++i)
    wanted[i] = fixed.is_constrained(i) ? 1 : reference.whole(i, i);
  CHECK(apart(diagonal, wanted) < 1e-10);
  CHECK(*std::min_element(wanted.begin(), wanted.end()) > 0); // those that are not would become one

  // The matrix of cells and faces, what is fixed apart.
  const auto assembled = [&](double bound) {
    LowerTriangle lower;
    op.assemble(lower, bound);
    dealii::FullMatrix<double> matrix(n, n);
    lower.visit([&matrix](unsigned row, unsigned column, double value) {
      matrix(row, column) = matrix(column, row) = value;
    });
    return matrix;
  };
  const auto free = [&](dealii::FullMatrix<double> matrix) {
    for (unsigned i = 0; i < n; ++i)
      for (unsigned j = 0; j < n; ++j)
        if (i != j && (fixed.is_constrained(i) || fixed.is_constrained(j)))
          matrix(i, j) = 0;
    return matrix;
  };
  CHECK(apart(assembled(-1), free(reference.sparse)) < 1e-10);

  // The same with compressive stress bounded, as preconditioners have it: something is, and it is what it should be.
  const ReferenceTangent bounded =
      reference_tangent(p, op.level(), body.u, op.ties().motion(body.u, load), load, 0.5);
  CHECK(apart(bounded.sparse, reference.sparse) > 1e-3);
  CHECK(apart(assembled(0.5), free(bounded.sparse)) < 1e-10);
  op.bound_tangent();
  op.vmult(image, direction);
  CHECK(apart(image, times(bounded.whole, direction)) < 1e-10);
}

TEST_CASE("A matrix with nothing negative left is positive definite however a nearly incompressible body is "
          "strained",
          "[operator]") {
  // No outside reference: a definition. A soft tissue, nearly ten times as soft as an ordinary one, pressed to half its
  // volume, pulled to twice it, sheared: pressures of tens of shear moduli. Held by springs.
  const auto positive = [](const SolidOperator &op, double bound) {
    LowerTriangle lower;
    op.assemble(lower, bound);
    dealii::LAPACKFullMatrix<double> dense(op.m(), op.m());
    lower.visit([&dense](unsigned row, unsigned column, double value) {
      dense(row, column) = dense(column, row) = value;
    });
    dealii::FullMatrix<double> vectors;
    dealii::Vector<double> negative;
    dense.compute_eigenvalues_symmetric(-1e9, 0.0, 0.0, negative, vectors);
    return negative.size() == 0;
  };
  for (const double stretch : {0.8, 1.25}) {
    INFO("stretch " << stretch);
    Problem p =
        box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<SoftTissue>(0.01, 3, 0.2), bent);
    p.springs = {{1, {1, 0, 0}, 0.1, 0.1, false}};
    Body body(p, 0);
    interpolate(body, [stretch](const Vec3 &x) {
      return Vec3{(stretch - 1) * x[0] + 0.2 * x[1], (stretch - 1) * x[1] + 0.1 * x[0] * x[2],
                  (stretch - 1) * x[2]};
    });
    body.op().linearize(body.u, 1.0, false);
    CHECK(positive(body.op(), 0.0));
    CHECK_FALSE(positive(body.op(), 0.5));
  }
}

TEST_CASE("Six rigid-body modes, and only six", "[operator]") {
  for (const bool bone : {false, true}) {
    const dealii::Tensor<1, 3> axis({1, 0.3, 0.2});
    MaterialPtr material;
    if (bone)
      material = std::make_shared<TransverseBone>(17, 11.5, 0.3, 3.3, axis);
    else
      material = std::make_shared<NeoHooke>(1.0, 0.3);
    Body body(box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, material, bent), 0);
    body.op().linearize(body.u, 0, false);
    LowerTriangle k;
    body.op().assemble(k);
    const unsigned n = k.size();
    dealii::LAPACKFullMatrix<double> dense(n, n);
    k.visit([&dense](unsigned row, unsigned column, double value) {
      dense(row, column) = dense(column, row) = value;
    });
    dealii::FullMatrix<double> vectors;
    dealii::Vector<double> values;
    dense.compute_eigenvalues_symmetric(-1e9, 1e9, 0.0, values, vectors);
    REQUIRE(values.size() == n);
    double sixth = 0;
    for (unsigned i = 0; i < 6; ++i)
      sixth = std::max(sixth, std::abs(values[i]));
    INFO("sixth " << sixth << ", seventh " << values[6] << ", last " << values[n - 1]);
    CHECK(values[6] > 0);
    CHECK(sixth < 1e-10 * values[6]); // verification catalogue G1

    // K times each rigid mode, matrix-free, against the size of the matrix entries times the mode.
    for (unsigned mode = 0; mode < 6; ++mode) {
      interpolate(body, [mode](const Vec3 &x) {
        Vec3 e{};
        e[mode % 3] = 1;
        return mode < 3 ? e : cross(e, x);
      });
      Vector image(body.u);
      body.op().vmult(image, body.u);
      CHECK(image.linfty_norm() < 1e-12 * values[n - 1] * body.u.linfty_norm());
    }
  }
}

TEST_CASE("A finite rotation of a curved body costs no stress", "[operator]") {
  Body body(box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1000.0, 0.3), bent), 1);
  // 120 degrees about (1, 1, 1): x -> z -> y -> x.
  interpolate(body, [](const Vec3 &x) { return Vec3{x[2], x[0], x[1]} - x; });
  Vector residual(body.u);
  const auto result = body.op().evaluate(body.u, 1.0, &residual);
  REQUIRE(result.admissible);
  CHECK(residual.linfty_norm() < 1e-12 * 1000); // MPa times areas below 1 mm2
  CHECK(std::abs(result.energy) < 1e-12 * 1000);
  // The tangent there is the tangent at rest, turned: energy of a turned strain equals that of the strain.
  body.op().linearize(body.u, 1.0, false);
  Vector strain(body.u), image(body.u), keep(body.u);
  interpolate(body, [](const Vec3 &x) { return Vec3{0, 0.3 * x[0], 0}; });
  strain = body.u;
  body.op().vmult(image, strain);
  const double turned = image * strain;
  body.u = 0;
  body.op().linearize(body.u, 1.0, false);
  interpolate(body, [](const Vec3 &x) { return Vec3{0.3 * x[0], 0, 0}; }); // the rotation brings x to y
  body.op().vmult(image, body.u);
  CHECK(turned == Approx(image * body.u).epsilon(1e-11));
}

TEST_CASE("Ground on any of the six faces: tangent against differences", "[operator]") {
  // The gap changes sign across the face and the grip is uneven, so that a point taken for another shows.
  const unsigned id = GENERATE(1, 2, 3, 4, 5, 6);
  INFO("face " << id);
  Problem p = box_problem({0, 0, 0}, {2, 1, 1}, {2, 1, 1}, std::make_shared<NeoHooke>(1.0, 0.3), bent);
  const Vec3 direction = unit({0.5, -0.4, 0.7});
  p.ground.push_back({id, 2.0, direction, unit({1, 1, 1}),
                      [](const Vec3 &x) { return 0.1 * std::sin(4 * x[0] + 5 * x[1] + 7 * x[2]); },
                      [](const Vec3 &x) { return 0.3 + 0.1 * x[0] + 0.2 * x[1] * x[2]; }});
  Body body(p, 1);
  SolidOperator &op = body.op();
  std::mt19937 random(5);
  std::uniform_real_distribution<double> uniform(-1, 1);
  Vector turn(body.u), image(body.u);
  for (unsigned i = 0; i < turn.locally_owned_size(); ++i)
    turn.local_element(i) = uniform(random);
  const double h = 1e-7;
  Vector moved(body.u), before(body.u), after(body.u);
  moved.equ(h, turn);
  REQUIRE(op.evaluate(moved, 1.0, &after).admissible);
  moved.equ(-h, turn);
  REQUIRE(op.evaluate(moved, 1.0, &before).admissible);
  after -= before;
  after *= 1 / (2 * h);
  op.linearize(body.u, 1.0, false);
  Vector active, all;
  op.faces().activity(active, all);
  const double bearing = active.l1_norm() / all.l1_norm();
  CHECK((bearing > 0.1 && bearing < 0.9));
  op.vmult(image, turn);
  after -= image;
  CHECK(after.l2_norm() < 1e-6 * image.l2_norm());
}

TEST_CASE("The carrier balances: springs, ties and its force", "[operator]") {
  // Residual zero means, by shifting the whole body and the carrier along the direction of mode 0, that
  // ground reaction equals carrier force minus the loads on the body (all along `up`; statics).
  Problem p = full_problem();
  const Vec3 up = p.contact[0].direction, forward = {up[2], 0, -up[0]};
  // Stiff springs to the carrier; nothing holds the bodies in space but the ground, along `up`.
  p.springs = {{1, {1, 0, 0}, 20, 10, true}, {12, {0, 1, 0}, 10, 10, true}, {14, up, 0, 0.4, false, true}};
  p.slide = {[forward](const Vec3 &) { return forward; }};
  p.carrier.modes.resize(1);
  p.body_force = {};
  p.tractions.clear();
  Body body(p, 1);
  NewtonReport report;
  for (const double load : {0.5, 1.0})
    report = body.solve(load, 0.3, 1e-10);
  INFO(report.reason);
  REQUIRE(report.converged);
  // What grips or hangs on the slide has no part along `up`. Ties pull between body and carrier, springs too;
  // the region force (0, 0, 0.1) N acts on the body alone.
  CHECK(body.op().faces().ground_force(body.u) == Approx(0.3 - dot(up, {0, 0, 0.1})).epsilon(1e-7));
}
