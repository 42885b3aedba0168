// Where beam theory does not hold, in words.
#pragma once
#include "geometry/beam.hpp"

namespace raybend {

/// What beam theory leaves out of this beam; empty if it fits well. `rotation_deg`: largest rotation found (0: not
/// yet known).
std::vector<std::string> theory_warnings(const Beam &beam, double rotation_deg);

} // namespace raybend
