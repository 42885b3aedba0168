// Versions of the libraries that calculate, and the parallel environment, without their headers.
#pragma once
#include <string>
#include <utility>
#include <vector>

namespace raybend {

/// Name and version of each library.
std::vector<std::pair<std::string, std::string>> solver_versions();

/// Starts and ends MPI (and what deal.II needs of it). One thread a rank; without mpirun a world of one.
void start_parallel();
/// The same for one of several processes side by side: the BLAS keeps to one thread too.
void start_alone();
void stop_parallel();

} // namespace raybend
