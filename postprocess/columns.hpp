// The numbers of a result with their names and units, named once for JSON, CSV and tests.
#pragma once
#include "solver/results.hpp"
#include <string>
#include <vector>

namespace raybend {

template <typename T> struct NumberColumn {
  const char *name;
  double (*value)(const T &);
};

const std::vector<NumberColumn<RayResult>> &ray_columns();
const std::vector<NumberColumn<StationResult>> &station_columns();
const std::vector<NumberColumn<DesignResult>> &design_columns();

} // namespace raybend
