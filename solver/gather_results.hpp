// Results of designs solved side by side come together.
#pragma once
#include "solver/results.hpp"
#include <map>
#include <mpi.h>
#include <string>

namespace raybend {

/// The union of every rank's results, on rank 0 of `comm` (empty elsewhere). Collective. Keys must be
/// disjoint.
std::map<std::string, StepResult> gather_results(const std::map<std::string, StepResult> &own, MPI_Comm comm);

/// The same results as bytes for a file, and back: for processes without a common communicator. The same build must
/// read what it wrote; throws std::exception for other bytes.
std::string packed_results(const std::map<std::string, DesignResult> &results);
std::map<std::string, DesignResult> unpacked_results(const std::string &bytes);

/// The first non-empty text of any rank, on every rank. Collective.
std::string gather_failure(const std::string &own, MPI_Comm comm);

} // namespace raybend
