// Warnings that need the whole case: what is allowed and can be calculated, but likely is not what was meant.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "cases/forefoot/case.hpp"

namespace raybend {

/// Logs a warning for a foot length unusual for the sex, pads and bars that reach behind the bases, reliefs
/// and wedges that would cut through the base, insoles that the load presses flat, activities without an
/// insole, a painful base, titles that the pictures' font cannot draw. Call it for a case without faults.
void warn_of_case(const Case &c, ReadingLog &log);

} // namespace raybend
