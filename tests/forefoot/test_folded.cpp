// A shape that turns a cell inside out is refused with the place and, for a foot or an insole, what to look
// at.
#include "cases/catalogue/activities.hpp"
#include "cases/forefoot/reader.hpp"
#include "solver/forefoot_model.hpp"
#include <catch2/catch.hpp>
#include <cstdlib>

using namespace raybend;
using Catch::Matchers::Contains;

namespace {

const Case &standing() {
  static const Case c = read_case(RAYBEND_SOURCE_DIR "/cases/standing.toml", {});
  return c;
}

Settings coarse() {
  Settings settings;
  settings.resolution = Resolution::coarse;
  return settings;
}

} // namespace

TEST_CASE("An insole that folds over is not solved, and the next design is", "[folded]") {
  ForefootModel model(standing().foot, standing().day.front().activity, coarse(), MPI_COMM_WORLD);
  Design hollow = standing().designs.front();
  hollow.fit = -3; // the top dives under the shoe's sole where the foot arches
  const DesignResult refused = model.solve(hollow);
  CHECK_FALSE(refused.converged);
  CHECK_THAT(refused.message, Contains("the insole (") && Contains(" under ray ") &&
                                  Contains(" mm behind the heads folds over"));
  CHECK(model.solve(standing().designs.front()).converged);
}

TEST_CASE("A foot that folds over is refused", "[folded]") {
  Forefoot foot = standing().foot;
  foot.rays[2].tissue_under_head = -30; // the bone below the skin
  ForefootModel model(foot, standing().day.front().activity, coarse(), MPI_COMM_WORLD);
  CHECK_THROWS_WITH(model.solve(standing().designs.front()),
                    Contains(" ray ") && Contains(" the heads folds over: widths, heights"));
}
