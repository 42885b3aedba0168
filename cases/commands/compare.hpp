// What the commands need from the calculation.
#pragma once
#include "cases/forefoot/case.hpp"
#include <cstddef>
#include <string>

namespace raybend {

struct CompareOptions {
  std::string out;  ///< directory for the results; can be written, may not exist yet
  std::string date; ///< for the report
  bool pictures = true;
  bool quiet = false;      ///< no progress lines
  double sure_minutes = 0; ///< how long it may take at most to say how sure the answer is; 0: not asked
  std::size_t sure_feet = 120;
};

/// Solves every design under every activity, with and without its support elements, side by side in processes of
/// their own, and writes the results into `options.out`. Returns the exit status: 0 done, 1 the run failed. Throws
/// std::runtime_error and StoppedBySignal with nothing left behind. Call it before MPI starts.
int compare_in_processes(const Case &c, const CompareOptions &options);

/// The same on the ranks that mpirun started; collective, MPI runs. Returns the same on all ranks.
int compare_on_ranks(const Case &c, const CompareOptions &options);

} // namespace raybend
