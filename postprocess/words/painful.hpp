// The painful rays in words: where it hurts, and what the designs do to the further ones.
#pragma once
#include "postprocess/compare/day.hpp"
#include <string>
#include <vector>

namespace raybend {

/// "2", "2, at its base; also painful: rays 3 and 4"
std::string painful_words(const Forefoot &foot);
/// "15 and 85 %" of the length, between which the painful rays' strain counts.
std::string counted_words(const Forefoot &foot);

/// One a further painful ray: which design spares it most, and what the first of the ranking leaves there.
std::vector<std::string> further_rays(const ReportInput &input, const std::vector<RankedDesign> &ranking);
std::vector<std::string> further_rays(const DayInput &input, const DayRanking &day);

} // namespace raybend
