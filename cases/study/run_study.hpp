// Solves what a study's store does not have yet.
#pragma once
#include "cases/study/run_units.hpp"

namespace raybend {

/// Solves the units whose runs are not all in the store, in forked workers, that many at a time, and puts every result there as it
/// comes. A solve that fails, or takes its process with it, is a row of its own and costs no other one. `shown`: progress
/// with the time left on a terminal. Throws std::runtime_error where the store cannot take more and StoppedBySignal; what
/// is in the store stays. Call it before MPI starts.
void run_study(const ReadStudy &read, const StudyUnits &todo, StudyStore &store, unsigned workers,
               bool shown);

} // namespace raybend
