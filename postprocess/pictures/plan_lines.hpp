// Where a design's support elements and ends of layers lie, as lines in plan.
#pragma once
#include "geometry/forefoot.hpp"
#include "geometry/insole.hpp"
#include "geometry/vec3.hpp"
#include <array>
#include <vector>

namespace raybend {

using PlanLine = std::vector<Vec3>; ///< corners one after the other, mm; z = 0

/// Segments that meet, joined to lines: a line goes on from both ends while a segment is left there.
std::vector<PlanLine> joined_lines(const std::vector<std::array<Vec3, 2>> &segments);

/// Outlines of pads, bars, fills, reliefs, regions of another hardness and plates, and the edges of layers that end
/// under the forefoot, of the insole as made under the unloaded foot. A wedge has none. `mirror_y` turns the
/// frame's right foot into a left one. `on_top`: with the height of the insole's top surface as z.
std::vector<PlanLine> plan_lines(const Forefoot &foot, const Design &design, bool mirror_y,
                                 bool on_top = false);

/// Round the crests of pads, bars, fills and plateaus and the deepest parts of reliefs: where 98 % of the height is
/// reached.
std::vector<PlanLine> crest_lines(const Forefoot &foot, const Design &design, bool mirror_y);

} // namespace raybend
