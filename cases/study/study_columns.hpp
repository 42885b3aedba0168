// The outputs of a run, by name.
#pragma once
#include "geometry/forefoot.hpp"
#include "solver/results.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Outputs of a ray: those of rays.csv, and strains at fixed stations of the shaft (DesignResult::ray[].shaft).
const std::vector<std::string> &output_columns();
/// Their values; ray 1..5.
std::vector<double> output_values(const DesignResult &result, std::size_t ray, Side side);
/// Every name that a column of an input may not have.
const std::vector<std::string> &store_columns();

} // namespace raybend
