// From a file of `raybend best` to a Best: everything is checked before anything is calculated.
#pragma once
#include "cases/best/best.hpp"

namespace raybend {

/// Reads the file and its case. `sets`: further changes of the case, as --set takes them. Throws CaseError with every fault found;
/// those of the case have its own file and lines.
Best read_best(const std::string &path, const std::vector<std::string> &sets = {});

/// Outputs that a cap may hold: strains, stresses, pressures, forces and moments.
const std::vector<std::string> &cap_outputs();

} // namespace raybend
