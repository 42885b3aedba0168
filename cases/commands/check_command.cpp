// The command `raybend check`: the case as it will be calculated and what that will cost; solves nothing.
#include "cases/commands/check_report.hpp"
#include "cases/commands/requested_case.hpp"
#include "cases/run/forecast.hpp"
#include "cases/run/processes.hpp"
#include <iostream>

namespace raybend {

namespace {

int run(const Request &request) {
  const Case given = requested_case(request);
  std::string forecast = mesh_forecast(given, process_count());
  while (!forecast.empty() && forecast.back() == '\n')
    forecast.pop_back();
  std::cout << check_report(given) << "\nCalculation\n  " << forecast << "\n";
  return 0;
}

} // namespace

Command check_command() {
  return {"check",
          "check CASE.toml [options]",
          "show the case as it will be calculated; solve nothing",
          "Shows foot, loads and designs as they will be calculated, and what the calculation will cost.",
          {set_option, resolution_option},
          1,
          general_cautions(),
          run};
}

} // namespace raybend
