// What the supports hold, motion by motion, and what has to be held besides so that the beam has a place.
#pragma once
#include "geometry/beam.hpp"

namespace raybend {

/// One held motion of the cross-section at `at`: 0..2 displacement along x, y, z, 3..5 rotation about them.
struct Hold {
  double at = 0;
  int motion = 0;
  int support = -1;     ///< index into Beam::supports; -1: a gauge that carries nothing
  double stiffness = 0; ///< N/mm; 0: rigid
  double sign = 0;      ///< unilateral: the only sign its force on the beam may have; 0: both
  double moved = 0;     ///< mm by which the support itself moves along the motion
};

/// All holds of the supports.
std::vector<Hold> holds_of(const Beam &beam);

/// Gauges: motions of the start section that `holds` and the foundations leave free. Empty if there are none.
std::vector<Hold> gauges_for(const Beam &beam, const std::vector<Hold> &holds);

/// Words for a motion that loads drive and nothing holds, "" if all is held: "displacement along z".
std::string moving_away(const Beam &beam, const std::vector<Hold> &holds);

/// "displacement along z", "rotation about x"
std::string motion_words(int motion);

/// Resultant of all loads: force, N, and moment about the origin, N mm.
struct LoadSum {
  Vec3 force{}, moment{};
};
LoadSum load_sum(const Beam &beam);

/// Where supports, forces and couples act: section forces can jump there.
std::vector<double> concentrated_places(const Beam &beam);

} // namespace raybend
