// Reads [patient], [bone] and [tissue] into a forefoot.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "geometry/forefoot.hpp"

namespace raybend {

/// Logs faults; the foot is complete only if there were none. Origins gain what follows from a foot form,
/// a width, a rise, a share of another ray or a factor.
Forefoot read_forefoot(TableReader &top);

} // namespace raybend
