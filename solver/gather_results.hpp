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

/// One design's results as bytes, for another process of this program, and put back among others. Throws what deal.II does if the
/// bytes are not whole.
std::string packed_result(const std::string &key, const StepResult &result);
void unpack_result(const std::string &bytes, std::map<std::string, StepResult> &results);

/// The first non-empty text of any rank, on every rank. Collective.
std::string gather_failure(const std::string &own, MPI_Comm comm);

} // namespace raybend
