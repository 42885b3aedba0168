// Warnings of support elements of one design that lie in the same place.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "cases/forefoot/case.hpp"

namespace raybend {

/// Logs a warning for an element that is there twice, for pads, bars and fills that together are higher than is
/// usual for one, for wedges that tilt against each other or together more than is usual, and for regions of
/// unlike hardness that overlap. Call it for a case without faults.
void warn_of_overlaps(const Case &c, ReadingLog &log);

} // namespace raybend
