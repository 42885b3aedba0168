// The report in words and tables, for the file and for the terminal.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Markdown with padded tables, every number with its unit. `files` are named at the end as part of the
/// report.
std::string summary_text(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                         const std::vector<std::string> &files = {});

} // namespace raybend
