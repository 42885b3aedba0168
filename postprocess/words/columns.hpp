// The numbers of a result with their names and units, named once for JSON, CSV and tests.
#pragma once
#include "geometry/forefoot.hpp"
#include "solver/results.hpp"
#include <limits>
#include <vector>

namespace raybend {

template <typename T> struct NumberColumn {
  const char *name;
  double (*value)(const T &);
  /// A place along y: results are a right foot's, a left foot's tables and fields have the other sign. (Shear,
  /// moments and torque are named by sides of the bone, so that they have no such sign.)
  bool mirrored = false;
};

const std::vector<NumberColumn<RayResult>> &ray_columns();
const std::vector<NumberColumn<StationResult>> &station_columns();
const std::vector<NumberColumn<DesignResult>> &design_columns();
const std::vector<NumberColumn<SolveRecord>> &record_columns(); ///< known of a solve that failed too

/// The number that a table shows: not a number where the solve did not converge.
template <typename T>
double shown(const NumberColumn<T> &column, const T &object, const DesignResult &result, Side side) {
  if (!result.converged)
    return std::numeric_limits<double>::quiet_NaN();
  return (column.mirrored && side == Side::left ? -1 : 1) * column.value(object);
}

} // namespace raybend
