// What a comparison will cost.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>

namespace raybend {

/// s, on that many processes: the choice of instants, the reference's instants, the other insoles, pictures.
struct TimeForecast {
  double choosing = 0, references = 0, designs = 0, pictures = 0;
  double total() const { return choosing + references + designs + pictures; }
};
TimeForecast time_forecast(const Case &c, std::size_t ranks);

/// One or a few lines for `raybend check`: unknowns and the time to expect on that many ranks.
std::string mesh_forecast(const Case &c, unsigned ranks);

} // namespace raybend
