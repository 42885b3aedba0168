// Where a design's support elements and ends of layers lie, as lines in plan.
#pragma once
#include "geometry/forefoot.hpp"
#include "geometry/insole.hpp"
#include "geometry/vec3.hpp"
#include <vector>

namespace raybend {

using PlanLine = std::vector<Vec3>; ///< corners one after the other, mm; z = 0

/// Outlines of pads, bars, fills, reliefs, regions of another hardness and plates, and the edges of layers that end
/// under the forefoot, of the insole as made under the unloaded foot. A wedge has none. `mirror_y` turns the
/// frame's right foot into a left one.
std::vector<PlanLine> plan_lines(const Forefoot &foot, const Design &design, bool mirror_y);

} // namespace raybend
