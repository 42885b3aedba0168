// Where the line of action of the vertical force passes a foot.
#pragma once
#include "geometry/forefoot.hpp"
#include "solver/loads.hpp"

namespace raybend {

/// mm, medial (lateral: negative) of MT2's head: the activity's own value, or the centre of published loads at this
/// foot's heads, each toe's part of the activity's toe share at its ray. Loads of the heads: parts of the mean
/// peak map, 104 healthy adults walking barefoot (computed from public measurements, +- 3 %; left and right feet alike to
/// 3 %); taken for every activity (assumed).
double force_line_medial(const Forefoot &foot, const Activity &activity);

} // namespace raybend
