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
  CHECK(pull.force[1] == Approx(tension * y / now).epsilon(1e-14));
  CHECK(pull.force[0] == Approx(tension * length / now).epsilon(1e-14));
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

namespace {

/// The string with a toe: its tip 4 of the tie's levers long; the reference had 30 N and the bone 1.5 mm up.
Tie with_toe(double bed) {
  Tie tie = string(0);
  tie.toe = Toe{{0, 0, 1}, 0.25, 0.5, bed, 20, 0.8, {0, 1.5}, {0, 30}};
  return tie;
}

} // namespace

TEST_CASE("A toe on its bed: moments about the joint and the bed's push balance", "[patch]") {
  // Statics of a lever (textbook mechanics). On level 1, tie longer by 2 mm, bone up by 1.1: the bed is higher than the
  // toe's tip by 0.8 + 1.5 - 1.1 = 1.2 mm. Unknown: the toe's rise x.
  //   T = 40 + 6 (2 + x/4) ;  N = 20 + (T - 30) / 4 + x/2 ;  N = 50 (1.2 - x)
  const double x = (50 * 1.2 - 20 - (52 - 30) / 4.0) / (50 + 6 / 16.0 + 0.5), t = 52 + 1.5 * x;
  const TiePull pull = tie_pull(with_toe(50), 1.0, {2, 1.1}, 1);
  CHECK(tie_axes(with_toe(50)).size() == 2);
  CHECK(pull.tension == Approx(t).epsilon(1e-14));
  CHECK(pull.toe == Approx((t - 30) / 4 + x / 2).epsilon(1e-13));
  CHECK(pull.force[0] == pull.tension);
  CHECK(pull.force[1] == -pull.toe); // the bone is pushed up
  // As the reference lay, nothing is added: T = 30 asks for a tie shorter by 10/6 mm, the bed for 20/50 mm over the tip.
  Tie same = with_toe(50);
  same.toe->raised = 20.0 / 50;
  const TiePull as_it_was = tie_pull(same, 1.0, {-10.0 / 6, 1.5}, 1);
  CHECK(as_it_was.toe == Approx(0).margin(1e-12));
  CHECK(as_it_was.tension == Approx(30));
}

TEST_CASE("A toe leaves a bed that is too low, and a tie that is wound down goes slack", "[patch]") {
  // Nothing pushes: 0 = 20 + (T - 30) / 4 + x/2 with T = 52 + 1.5 x.
  const double x = -(20 + (52 - 30) / 4.0) / (0.375 + 0.5);
  const TiePull off = tie_pull(with_toe(50), 1.0, {2, 100}, 1);
  CHECK(off.toe == Approx(-20));
  CHECK(off.tension == Approx(52 + 1.5 * x));
  CHECK(off.taut);
  CHECK(off.stiffness[1][1] == 0);
  const TiePull slack = tie_pull(with_toe(50), 1.0, {-30, 100}, 1);
  CHECK_FALSE(slack.taut);
  CHECK(slack.tension == 0);
  CHECK(slack.toe == Approx(-20));
}

TEST_CASE("Forces and stiffnesses of a tie with a toe are its energy's derivatives", "[patch]") {
  // Central differences of what they should be the derivatives of, in every state: on and off the bed, taut and slack.
  const double h = 1e-5;
  for (const std::array<double, 2> &at :
       {std::array<double, 2>{2, 1.1}, {2, 100}, {-30, 100}, {-30, -1}, {-7.5, -2}})
    for (const double length : {0.0, 50.0}) {
      Tie tie = with_toe(50);
      tie.length = length;
      const unsigned axes = tie_axes(tie).size();
      std::array<double, TiePull::most_axes> d{at[0]};
      if (length > 0)
        d = {at[0], 3, -2, 0};
      d[axes - 1] = at[1];
      const TiePull here = tie_pull(tie, 0.7, d, 1);
      for (unsigned i = 0; i < axes; ++i) {
        auto more = d, less = d;
        more[i] += h;
        less[i] -= h;
        const TiePull up = tie_pull(tie, 0.7, more, 1), down = tie_pull(tie, 0.7, less, 1);
        CHECK(here.force[i] == Approx((up.energy - down.energy) / (2 * h)).epsilon(1e-6).margin(1e-6));
        for (unsigned j = 0; j < axes; ++j)
          CHECK(here.stiffness[j][i] ==
                Approx((up.force[j] - down.force[j]) / (2 * h)).epsilon(1e-6).margin(1e-6));
      }
    }
}
