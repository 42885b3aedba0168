// One tie at a given displacement of its ends. Label: fast.
#include "solver/operator/tie_pull.hpp"
#include <catch2/catch.hpp>
#include <cmath>

using namespace raybend;

namespace {

/// Along x, 50 mm long, 40 N at rest, 6 N/mm.
Tie string(double length) {
  Tie tie{};
  tie.direction = {1, 0, 0};
  tie.force = 40;
  tie.stiffness = 6;
  tie.length = length;
  return tie;
}

} // namespace

TEST_CASE("A taut string pulled aside: tension and force back from Pythagoras", "[patch]") {
  // Statics of a stretched string (textbook mechanics): pulled aside by y its length is sqrt(L^2 + y^2); it pulls
  // back by T y / sqrt(L^2 + y^2), for small y by T0 y / L.
  const double length = 50, y = 20, now = std::hypot(length, y), tension = 40 + 6 * (now - length);
  const TiePull pull = tie_pull(string(length), 1.0, {0, y, 0});
  CHECK(pull.elongation == Approx(now - length).epsilon(1e-14));
  CHECK(pull.tension == Approx(tension).epsilon(1e-14));
  CHECK(pull.tension * pull.gradient[1] == Approx(tension * y / now).epsilon(1e-14));
  CHECK(pull.tension * pull.gradient[0] == Approx(tension * length / now).epsilon(1e-14));
  CHECK(tie_pull(string(length), 1.0, {0, 0, 0}).stiffness[1][1] == Approx(40 / length));
  // The energy is the work of the tension: from rest, T0 e + k e^2 / 2.
  const double e = now - length;
  CHECK(pull.energy - tie_pull(string(length), 1.0, {0, 0, 0}).energy == Approx(40 * e + 3 * e * e));
}

TEST_CASE("A tie that does not swing has no force sideways", "[patch]") {
  CHECK(tie_axes(string(0)).size() == 1);
  const TiePull pull = tie_pull(string(0), 1.0, {2, 0, 0});
  CHECK(pull.tension == Approx(52));
  CHECK(pull.stiffness[0][0] == 6);
}

TEST_CASE("A string whose ends come together goes slack, but for its constant part", "[patch]") {
  Tie tie = string(50);
  tie.constant = 5;
  const TiePull pull = tie_pull(tie, 1.0, {-10, 0, 0}); // 40 - 6 x 10 < 0
  CHECK_FALSE(pull.taut);
  CHECK(pull.tension == 5);
  CHECK(pull.stiffness[0][0] == Approx(0).margin(1e-12));
  CHECK(pull.stiffness[2][2] == Approx(5.0 / 40)); // what is taut resists sideways: T over the present length
}
