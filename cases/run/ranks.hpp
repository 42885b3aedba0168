// Ranks of the user's own mpirun.
#pragma once
#include <string>

namespace raybend {

/// True in a process that mpirun started.
bool under_mpirun();

/// Rank under mpirun, 0 otherwise; known before MPI starts.
int environment_rank();
/// How many ranks mpirun started, 1 otherwise.
int environment_size();
/// Makes this process one by itself, and what it forks: MPI that starts here later is a world of one.
void leave_mpirun();

// ---- while MPI runs

bool is_root();

/// Rank 0's value, on every rank. Collective.
int from_root(int value);
std::string from_root(std::string text);

} // namespace raybend
