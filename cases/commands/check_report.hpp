// `raybend check`: the case as it will be calculated, for reading.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>

namespace raybend {

/// Foot, loads, designs and warnings, aligned; ends with a newline.
std::string check_report(const Case &c);

} // namespace raybend
