// The mean over a sensor, as tests/test_physics.cpp takes it.
#include "tests/sensor_pressure.hpp"
#include <catch2/catch.hpp>

using namespace raybend;

namespace {

/// Patches of `size` mm in x from -30 to 30 and y from 0 to 60, ray 2; pressure by the patch's centre.
std::vector<Patch> skin(double size, double (*pressure)(double x, double y)) {
  std::vector<Patch> patches;
  for (double x = -30; x < 30 - 1e-9; x += size)
    for (double y = 0; y < 60 - 1e-9; y += size) {
      Patch p;
      p.corner = {Vec3{x, y, 0}, Vec3{x + size, y, 0}, Vec3{x + size, y + size, 0}, Vec3{x, y + size, 0}};
      p.value.fill(pressure(x + size / 2, y + size / 2));
      p.ray = 2;
      patches.push_back(p);
    }
  return patches;
}

double even(double, double) {
  return 100;
}
double spot(double x, double y) { // 5 mm along, 10 mm across
  return x > 0 && x < 5 && y > 20 && y < 30 ? 400 : 0;
}
double proximal(double x, double) { // a pad's own pressure, far behind the head
  return x < -20 ? 500 : 100;
}

} // namespace

TEST_CASE("A sensor under even pressure shows that pressure", "[sensor]") {
  for (const double side : {5.0, 10.0})
    CHECK(sensor_pressure(skin(5, even), 2, 0, side) == Approx(100).epsilon(0.03));
  CHECK(sensor_pressure(skin(5, even), 3, 0, 10) == 0); // nothing under ray 3
}

TEST_CASE("A spot smaller than the sensor counts by its area, whatever the patches", "[sensor]") {
  for (const double size : {5.0, 2.5, 1.25}) {
    CHECK(sensor_pressure(skin(size, spot), 2, 0, 10) == Approx(200).epsilon(0.05));
    CHECK(sensor_pressure(skin(size, spot), 2, 0, 5) == Approx(400).epsilon(0.05));
  }
}

TEST_CASE("A sensor under the head does not see the pad behind it", "[sensor]") {
  CHECK(sensor_pressure(skin(5, proximal), 2, 0, 10) == Approx(100).epsilon(0.03));
}
