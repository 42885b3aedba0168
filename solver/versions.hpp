// Versions of the libraries that calculate, and the parallel environment, without their headers.
#pragma once
#include <string>
#include <utility>
#include <vector>

namespace raybend {

/// Name and version of each library.
std::vector<std::pair<std::string, std::string>> solver_versions();

/// Starts and ends MPI (and what deal.II needs of it). One thread a rank.
void start_parallel();
void stop_parallel();

} // namespace raybend
