// The numbers of a search for the best design as CSV: '.' as decimal sign, units in the names of the columns.
#pragma once
#include "postprocess/best/best_report.hpp"

namespace raybend {

/// Every candidate: round, inputs, foretold and solved aim, pressure, what it uses of each cap in per cent, status.
std::string candidates_csv(const BestReport &report, const BestProblem &problem, const BestSearch &search);
std::string tolerance_csv(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                          const BestAnalysis &analysis);
/// The curves along each input.
std::string lines_csv(const BestProblem &problem, const BestAnalysis &analysis);
std::string map_csv(const BestProblem &problem, const BestMap &map);
std::string front_csv(const BestProblem &problem, const BestSearch &search, const BestAnalysis &analysis);

/// "limit", "aim", or the cap's label.
std::string end_words(const BestReport &report, FlatRange::End end, std::size_t cap);

} // namespace raybend
