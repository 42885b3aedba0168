// How sure the answer is, on the page.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include "postprocess/page/html.hpp"
#include <string>

namespace raybend {

/// HTML with its heading: every design's chances as a table and as bars; "" where it was not asked.
std::string sure_section(const ReportInput &input, const PageNumbers &numbers);

} // namespace raybend
