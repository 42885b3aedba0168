// Reads [[designs]] with their layers and support elements.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "geometry/insole.hpp"
#include <vector>

namespace raybend {

/// What the insole's shape keeps of a base under a relief or wedge (geometry/insole_shape.cpp): a base is at
/// least this thick.
constexpr double least_base_mm = 0.8;

/// Logs faults; the designs are complete only if there were none. `painful_ray` (1..5) is the default ray of
/// a support element; `least` designs are wanted.
std::vector<Design> read_designs(TableReader &top, int painful_ray, std::size_t least = 2);

} // namespace raybend
