// What is published of people walking barefoot, and where a solved foot has it.
#pragma once
#include "geometry/forefoot.hpp"
#include "postprocess/sure/foot_sample.hpp"
#include "solver/results.hpp"

namespace raybend {

/// Deviations are over people.
const std::vector<PublishedNumber> &barefoot_numbers();

/// The same of one foot at one instant of walking barefoot, in that order. Not a number where it did not converge.
std::vector<double> barefoot_values(const DesignResult &result, const Forefoot &foot);

} // namespace raybend
