// Reads [patient], [bone] and [tissue] into a forefoot.
#pragma once
#include "cases/table_reader.hpp"
#include "geometry/forefoot.hpp"

namespace raybend {

/// Logs faults; the foot is complete only if there were none. Origins gain "foot form" for what a foot form
/// set.
Forefoot read_forefoot(TableReader &top);

} // namespace raybend
