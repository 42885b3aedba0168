// Chart of a day of several activities: the painful ray's strain in each, and what all together amount to.
#pragma once
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/compare/day.hpp"

namespace raybend {

/// One group a design: a marker with its band for each activity, and a bar from the least to the largest
/// day-equivalent strain over the four exponents.
Drawing day_chart(const DayInput &input, const DayRanking &day);

} // namespace raybend
