// The report in words and tables, for the file and for the terminal.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// What is to be read first, two screens at most where designs are few: answer, ranking, where the load goes, warnings,
/// cautions, names of the files. Markdown.
std::string summary_text(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                         const std::vector<std::string> &files = {});

/// Everything in words and padded tables, every number with its unit. `files` are named at the end as part of the
/// report.
std::string details_text(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                         const std::vector<std::string> &files = {});

} // namespace raybend
