// Plantar pressure as a sensor in the shoe shows it: the mean over the sensor's face. The value at a single
// point depends on the mesh and no instrument reads it. Plain values, no deal.II.
#pragma once
#include "solver/results.hpp"
#include <functional>
#include <vector>

namespace raybend {

/// Side of the square sensor in plan, mm. Instruments in use have 4.4 x 4.4 mm (Hsi 2005, read) and, 99 of
/// them in an insole, about 1.6 cm2 (Fong 2008, read; area derived); taken between them.
constexpr double sensor_side = 10;

/// The sensor that shows most, of all that stand in one region of the skin.
struct SensorReading {
  double pressure = 0; ///< kPa, mean over the sensor
  Vec3 centre{};       ///< mm, plan, frame of the patches (z = 0); no meaning where the pressure is 0
};

/// Which reading a sensor counts for that has its centre on a patch of a region, at x and y in mm: 0 ..
/// readings - 1, or -1 for none.
using SensorPlace = std::function<int(int region, double x, double y)>;

/// For each of `readings` readings the largest mean pressure over a square of `side` mm (an even number of
/// half millimetres), its sides along x and y, whose centre counts for that reading; centres stand on a grid
/// of half a millimetre. What the square covers beyond the skin counts 0, all patches count with their
/// pressure wherever they belong. region[i] >= 0 is where plantar[i] belongs; a patch's pressure is the mean
/// of its corners. Without `place` a reading is that of a region.
/// Of readings alike to rounding the most proximal, then most lateral one is given.
std::vector<SensorReading> sensor_readings(const std::vector<Patch> &plantar, const std::vector<int> &region,
                                           int readings, double side = sensor_side,
                                           const SensorPlace &place = {});

} // namespace raybend
