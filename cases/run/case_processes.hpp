// Several runs of this program side by side, one a core.
#pragma once
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace raybend {

struct CaseProcess {
  std::string name;
  std::vector<std::string> words; ///< arguments of the program
  std::vector<std::pair<std::string, std::string>> environment;
  double cost = 0; ///< s, roughly: the longest start first
};

/// Runs each job as a process of its own, as many at a time as there are cores. `running` hears which;
/// `finished` is called for each with what went wrong ("": it ended with status 0). After an interrupt the
/// processes still running are ended and StoppedBySignal is thrown; std::runtime_error where a process cannot be
/// started.
/// An exception of `running` or `finished` ends them too and goes on to the caller. Call before MPI starts
/// in this process.
void run_side_by_side(const std::vector<CaseProcess> &jobs,
                      const std::function<void(const std::string &)> &running,
                      const std::function<void(std::size_t, const std::string &)> &finished);

} // namespace raybend
