// Plantar pressure as the mean over a sensor (solver/forefoot/sensor_pressure.hpp) on patches made for it.
#include "solver/forefoot/sensor_pressure.hpp"
#include <algorithm>
#include <catch2/catch.hpp>

using namespace raybend;

namespace {

using Field = double (*)(double x, double y);

/// Patches of `size` mm in x from -30 to 30 and y from 0 to 60; pressure by the patch's centre.
std::vector<Patch> skin(double size, Field pressure) {
  std::vector<Patch> patches;
  for (double x = -30; x < 30 - 1e-9; x += size)
    for (double y = 0; y < 60 - 1e-9; y += size) {
      Patch p;
      p.corner = {Vec3{x, y, 0}, Vec3{x + size, y, 0}, Vec3{x + size, y + size, 0}, Vec3{x, y + size, 0}};
      p.value.fill(pressure(x + size / 2, y + size / 2));
      patches.push_back(p);
    }
  return patches;
}

double mean_x(const Patch &p) {
  return (p.corner[0][0] + p.corner[1][0] + p.corner[2][0] + p.corner[3][0]) / 4;
}

/// Region 0 distal of `from`, region 1 the rest; one reading each.
std::vector<SensorReading> readings(const std::vector<Patch> &patches, double from, double side) {
  std::vector<int> region;
  for (const Patch &p : patches)
    region.push_back(mean_x(p) > from ? 0 : 1);
  return sensor_readings(patches, region, 2, side);
}

/// Of all skin as one region.
SensorReading reading(const std::vector<Patch> &patches, double side = sensor_side) {
  return readings(patches, -100, side)[0];
}

double even(double, double) {
  return 100;
}
double spot(double x, double y) { // 5 mm along, 10 mm across
  return x > 0 && x < 5 && y > 20 && y < 30 ? 400 : 0;
}
double proximal(double x, double) { // a pad's own pressure, behind the head
  return x < -20 ? 500 : 100;
}
double rising(double x, double y) {
  return 100 + x + 2 * y;
}

} // namespace

TEST_CASE("A sensor under even pressure shows that pressure", "[sensor]") {
  for (const double side : {5.0, 10.0})
    for (const double size : {5.0, 0.75}) // 0.75: patches that end within the grid's bits
      CHECK(reading(skin(size, even), side).pressure == Approx(100).epsilon(1e-9));
}

TEST_CASE("A region without skin or pressure has no reading", "[sensor]") {
  CHECK(sensor_readings({}, {}, 2)[1].pressure == 0);
  CHECK(readings(skin(5, even), -100, 10)[1].pressure == 0); // all skin belongs to the other region
  CHECK(reading(skin(5, [](double, double) { return 0.0; })).pressure == 0);
}

TEST_CASE("A spot smaller than the sensor counts by its area, whatever the patches", "[sensor]") {
  for (const double size : {5.0, 2.5, 1.25}) {
    INFO("patches of " << size << " mm");
    const SensorReading whole = reading(skin(size, spot), 10), small = reading(skin(size, spot), 5);
    CHECK(whole.pressure == Approx(200).epsilon(1e-9));
    CHECK(small.pressure == Approx(400).epsilon(1e-9));
    CHECK(std::abs(whole.centre[0] - 2.5) <= 2.5 + 1e-9); // all of the spot is covered
    CHECK(whole.centre[1] == Approx(25));
    CHECK(small.centre[0] == Approx(2.5));
    CHECK(std::abs(small.centre[1] - 25) <= 2.5 + 1e-9);
  }
}

TEST_CASE("The place given is the middle of what carries most", "[sensor]") {
  const auto hill = [](double x, double y) {
    return std::max(0.0, 300 - std::hypot(x + 12, y - 33.5) * 20); // round, its top at (-12, 33.5)
  };
  for (const double size : {2.5, 1.25}) {
    const SensorReading r = reading(skin(size, hill));
    CHECK(r.centre[0] == Approx(-12).margin(size / 2));
    CHECK(r.centre[1] == Approx(33.5).margin(size / 2));
    CHECK(r.centre[2] == 0);
  }
  CHECK(reading(skin(5, even)).centre[0] == Approx(-25)); // of equal ones the most proximal, most lateral
  CHECK(reading(skin(5, even)).centre[1] == Approx(5));
}

TEST_CASE("A sensor under the head does not see the pad behind it", "[sensor]") {
  const auto r = readings(skin(5, proximal), -15, 10);
  CHECK(r[0].pressure == Approx(100).epsilon(1e-9));
  CHECK(r[1].pressure == Approx(500).epsilon(1e-9));
  // It stands with its centre under the head: of the pad it sees what lies within half its side.
  CHECK(readings(skin(5, proximal), -20, 10)[0].pressure == Approx(300).epsilon(0.05));
}

TEST_CASE("Beyond the skin a sensor carries nothing, on a neighbour's skin it does", "[sensor]") {
  std::vector<Patch> strip; // 5 mm wide
  for (const Patch &p : skin(5, even))
    if (p.corner[0][1] == 20)
      strip.push_back(p);
  REQUIRE(strip.size() == 12);
  CHECK(reading(strip).pressure == Approx(50).epsilon(1e-9));

  std::vector<int> region;
  const std::vector<Patch> all = skin(5, even);
  for (const Patch &p : all)
    region.push_back(p.corner[0][1] == 20 ? 0 : 1);
  CHECK(sensor_readings(all, region, 2)[0].pressure == Approx(100).epsilon(1e-9));
}

TEST_CASE("All force of the patches is found, however they lie", "[sensor]") {
  double force = 0;
  std::vector<Patch> patches = skin(2.5, rising);
  for (Patch &p : patches) {
    for (Vec3 &c : p.corner) // slanted, tapered, bent
      c = {1.03 * c[0] + 0.31 * c[1] + 0.002 * c[1] * c[1], 0.9 * c[1] - 0.004 * c[0] * c[1] - 7.3, 0};
    double twice = 0;
    for (int k = 0; k < 4; ++k) {
      const Vec3 &a = p.corner[k], &b = p.corner[(k + 1) % 4];
      twice += a[0] * b[1] - b[0] * a[1];
    }
    force += std::abs(twice) / 2 * p.value[0];
  }
  constexpr double side = 400; // covers everything
  CHECK(reading(patches, side).pressure * side * side == Approx(force).epsilon(1e-12));
  for (Patch &p : patches) // corners the other way round
    std::reverse(p.corner.begin(), p.corner.end());
  CHECK(reading(patches, side).pressure * side * side == Approx(force).epsilon(1e-12));
}

TEST_CASE("A reading does not hang on the order of the patches", "[sensor]") {
  std::vector<Patch> patches = skin(1.25, rising);
  const SensorReading there = reading(patches);
  std::reverse(patches.begin(), patches.end());
  const SensorReading back = reading(patches);
  CHECK(there.pressure == Approx(back.pressure).epsilon(1e-12));
  CHECK(there.centre == back.centre);
  // The pressure rises to the distal, medial corner; the centre stands where the whole sensor is on the skin.
  CHECK(there.centre[0] == Approx(25));
  CHECK(there.centre[1] == Approx(55));
}

TEST_CASE("A sensor counts for the reading that its place says", "[sensor]") {
  // 100 + x + 2 y kPa on even patches: the mean over a square is the value at its centre.
  const std::vector<Patch> all = skin(1, rising);
  const SensorPlace place = [](int, double x, double y) { return x > 0 ? (y <= 20 ? 0 : -1) : 1; };
  const auto found = sensor_readings(all, std::vector<int>(all.size(), 0), 2, 10, place);
  CHECK(found[0].centre[1] == Approx(20)); // as far up as it may
  CHECK(found[0].centre[0] == Approx(25)); // further on the square leaves the skin
  CHECK(found[0].pressure == Approx(100 + 25 + 40).epsilon(1e-9));
  CHECK(found[1].centre[0] == Approx(0).margin(1e-9));
  CHECK(found[1].centre[1] == Approx(55));
}
