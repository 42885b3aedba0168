// What the commands need from the calculation.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>

namespace raybend {

struct CompareOptions {
  std::string out;  ///< directory for the results; can be written, may not exist yet
  std::string date; ///< for the report
  bool pictures = true;
  bool quiet = false;             ///< no progress lines
  std::vector<std::string> words; ///< of the command line
};

/// Solves every design under every activity, with and without its support elements, and writes the results
/// into `options.out`. Returns the exit status: 0 done, 1 the run failed.
int run_compare(const Case &c, const CompareOptions &options);

} // namespace raybend
