// Shoe sizes as foot lengths.
#pragma once
#include <string>
#include <vector>

namespace raybend {

std::vector<std::string> shoe_size_systems();

/// Foot length in mm of a shoe size. EU (Paris points of 2/3 cm), UK and US (barleycorns of 1/3 inch) count
/// the last, taken 15 mm longer than the foot; Mondopoint is the foot length in mm. Throws std::logic_error
/// on an unknown system.
double foot_length_of(const std::string &system, double size);

} // namespace raybend
