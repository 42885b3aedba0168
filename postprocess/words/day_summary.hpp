// The report on a day of several activities in words and tables: the whole day first, then activity by
// activity.
#pragma once
#include "postprocess/compare/day.hpp"
#include <string>
#include <vector>

namespace raybend {

/// What is to be read first, as summary_text.
std::string day_summary(const DayInput &input, const DayRanking &day,
                        const std::vector<std::string> &files = {});

/// Everything, as details_text. `rankings`: one an activity. `files` are named at the end.
std::string day_details(const DayInput &input, const DayRanking &day,
                        const std::vector<std::vector<RankedDesign>> &rankings,
                        const std::vector<std::string> &files = {});

} // namespace raybend
