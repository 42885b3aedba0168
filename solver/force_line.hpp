// Where the line of action of the vertical force passes a foot.
#pragma once
#include "geometry/forefoot.hpp"
#include "solver/loads.hpp"

namespace raybend {

/// mm, medial (lateral: negative) of MT2's head: the activity's own value, or the centre of published loads at this
/// foot's heads, each toe's part of the activity's toe share at its ray. Loads of the heads: peaks in walking, 47
/// people without forefoot pain, table 2 of PMC8275713 (read; not simultaneous); taken for every activity
/// (assumed).
double force_line_medial(const Forefoot &foot, const Activity &activity);

} // namespace raybend
