// Warnings of layers that end under the forefoot.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "cases/forefoot/case.hpp"

namespace raybend {

/// Logs a warning for a layer none of which lies under the modelled forefoot, or which is nowhere as thick as it
/// says; for an end that lies beyond what is modelled; for a base that begins where it would be expected to end;
/// and for support elements that lie where the base has ended. Call it for a case without faults.
void warn_of_ended_layers(const Case &c, ReadingLog &log);

} // namespace raybend
