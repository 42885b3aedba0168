// summary.md of a search for the best design.
#pragma once
#include "postprocess/best/best_report.hpp"

namespace raybend {

/// The answer in one paragraph, without marks.
std::string best_answer(const BestReport &report, const BestProblem &problem, const BestSearch &search);
std::string best_summary(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                         const BestAnalysis &analysis);

} // namespace raybend
