// What a search for the best design gives people: tables, pictures, words, the case.
#pragma once
#include "cases/best/run_best.hpp"

namespace raybend {

struct BestWritten {
  std::string summary;          ///< as on the terminal
  std::string missing_pictures; ///< "" if none is missing
  bool found = false;           ///< a design within all caps
};

/// Writes everything into the folder `out`, which is there whole or not at all. Throws std::runtime_error in words for people, also where
/// nothing was solved.
BestWritten write_best(const Best &best, const FoundBest &found, StudyStore &store, const std::string &out,
                       bool pictures, bool progress);

} // namespace raybend
