// The numbers of a study's pictures as CSV: '.' as decimal sign, units in names of inputs and outputs.
#pragma once
#include "postprocess/study/analysis.hpp"
#include <string>

namespace raybend {

std::string curves_csv(const StudyData &data, const StudyAnalysis &analysis);
std::string maps_csv(const StudyData &data, const StudyAnalysis &analysis);
std::string tornado_csv(const StudyData &data, const StudyAnalysis &analysis);
/// Where they do not hold the reason stands in `why_not` and the indices are empty.
std::string indices_csv(const StudyData &data, const StudyAnalysis &analysis);

} // namespace raybend
