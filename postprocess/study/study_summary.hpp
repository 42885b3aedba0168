// A study in words.
#pragma once
#include "postprocess/study/analysis.hpp"
#include <string>

namespace raybend {

/// Markdown: what was solved, what drives each output, which design is least how often, what the numbers are not.
std::string study_summary(const StudyData &data, const StudyAnalysis &analysis);

} // namespace raybend
