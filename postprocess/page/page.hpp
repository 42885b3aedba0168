// report.html: one file for the patient's file, to read without a network and to print.
#pragma once
#include "postprocess/compare/day.hpp"
#include <string>
#include <utility>
#include <vector>

namespace raybend {

/// `summary_json`: the text of summary.json, from which the page takes its numbers. `bones_picture`: path of
/// bones.png, shown where there is no WebGL and on paper; may be missing. Throws std::invalid_argument as rank_designs.
std::string report_page(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                        const std::string &summary_json, const std::string &bones_picture);

/// The same over a day; drawings of the load are those of `shown_activity`.
std::string day_page(const DayInput &input, const DayRanking &day,
                     const std::vector<std::vector<RankedDesign>> &rankings, const std::string &summary_json,
                     const std::string &bones_picture);

/// Place of the activity with the largest share of the reference's damage (with no load cycles, the first).
std::size_t shown_activity(const DayInput &input, const DayRanking &day);

/// design-NAME.svg of every design that has layers: file's name and text.
std::vector<std::pair<std::string, std::string>> design_drawings(const ReportInput &input);

} // namespace raybend
