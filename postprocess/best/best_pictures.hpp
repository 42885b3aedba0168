// Pictures of a search for the best design; they read in grey.
#pragma once
#include "postprocess/best/best_report.hpp"
#include "postprocess/study/study_pictures.hpp"

namespace raybend {

/// Tolerance along each input, map of two inputs, Pareto front. The arguments must live as long as the drawings.
std::vector<StudyPicture> best_pictures(const BestReport &report, const BestProblem &problem,
                                        const BestSearch &search, const BestAnalysis &analysis);

} // namespace raybend
