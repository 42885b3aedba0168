// Named activities: what one forefoot carries at the instant that bends the metatarsals most.
#pragma once
#include "solver/loads.hpp"
#include <string>
#include <vector>

namespace raybend {

struct NamedActivity {
  Activity activity;
  std::string meaning;
  std::string source;
};

const std::vector<NamedActivity> &named_activities();

std::vector<std::string> activity_names();

/// Throws std::logic_error if there is none of that name.
const NamedActivity &named_activity(const std::string &name);

/// Peak vertical force of running in body weights at a speed in m/s: 2.2 at 3 m/s to 2.8 at 4.5 m/s, linear
/// between (Cavanagh & Lafortune 1980, from memory), held at the ends outside.
double running_force_bw(double speed_m_s);

} // namespace raybend
