// What a report says of the case, before anything is solved.
#pragma once
#include "cases/forefoot/case.hpp"
#include "postprocess/compare/report_input.hpp"
#include <string>

namespace raybend {

/// Everything but the outcomes. `date`: of the calculation.
ReportInput report_input(const Case &c, const DayActivity &activity, const std::string &date);

} // namespace raybend
