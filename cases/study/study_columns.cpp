// Outputs of rays.csv and strains at fixed stations.
#include "cases/study/study_columns.hpp"
#include "postprocess/words/columns.hpp"
#include <cmath>

namespace raybend {

namespace {

/// Strain of a side at a fixed part of the ray's length.
struct FixedStation {
  std::string name;
  double StationResult::*strain;
  double fraction;
};

const std::vector<FixedStation> &fixed_stations() {
  static const std::vector<FixedStation> list = [] {
    std::vector<FixedStation> made;
    const std::vector<std::pair<std::string, double StationResult::*>> sides = {
        {"dorsal", &StationResult::strain_dorsal},
        {"plantar", &StationResult::strain_plantar},
        {"medial", &StationResult::strain_medial},
        {"lateral", &StationResult::strain_lateral}};
    for (const int percent : {25, 50, 75})
      for (const auto &[side, strain] : sides)
        made.push_back(
            {"strain_" + side + "_at_" + std::to_string(percent) + "_pct_ue", strain, percent / 100.0});
    return made;
  }();
  return list;
}

/// Between the two stations beside it.
double at_station(const RayResult &ray, const FixedStation &place) {
  for (std::size_t i = 1; i < ray.shaft.size(); ++i) {
    const StationResult &a = ray.shaft[i - 1], &b = ray.shaft[i];
    if (a.fraction <= place.fraction && place.fraction <= b.fraction) {
      const double t = (place.fraction - a.fraction) / (b.fraction - a.fraction);
      return (1 - t) * a.*place.strain + t * b.*place.strain;
    }
  }
  return std::nan("");
}

} // namespace

const std::vector<std::string> &output_columns() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> list;
    for (const auto &c : ray_columns())
      list.push_back(c.name);
    for (const FixedStation &s : fixed_stations())
      list.push_back(s.name);
    return list;
  }();
  return names;
}

const std::vector<std::string> &store_columns() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> list = {"point", "activity", "design", "status", "reason", "seconds", "ray"};
    list.insert(list.end(), output_columns().begin(), output_columns().end());
    return list;
  }();
  return names;
}

std::vector<double> output_values(const DesignResult &result, const std::size_t ray, const Side side) {
  std::vector<double> values;
  for (const auto &c : ray_columns())
    values.push_back(shown(c, result.ray[ray - 1], result, side));
  for (const FixedStation &s : fixed_stations())
    values.push_back(at_station(result.ray[ray - 1], s));
  return values;
}

} // namespace raybend
