// What a comparison will cost.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>

namespace raybend {

/// One or a few lines for `raybend check`: unknowns and the time to expect on that many ranks.
std::string mesh_forecast(const Case &c, unsigned ranks);

} // namespace raybend
