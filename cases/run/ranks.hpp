// Ranks of the user's own mpirun.
#pragma once
#include <string>

namespace raybend {

/// True in a process that mpirun started.
bool under_mpirun();

/// Rank under mpirun, 0 otherwise; known before MPI starts.
int environment_rank();

// ---- while MPI runs

bool is_root();

/// Rank 0's value, on every rank. Collective.
int from_root(int value);
std::string from_root(std::string text);

} // namespace raybend
