// The tables [beam.section], [beam.material] and [beam.top_material].
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "geometry/beam.hpp"

namespace raybend {

/// Fills section and materials of `beam`; faults go to the table's log. Call when length and radius are read.
void read_beam_section(TableReader &table, Beam &beam);

} // namespace raybend
