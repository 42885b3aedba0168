// Named activities: what one forefoot carries at the instant that bends the metatarsals most.
#pragma once
#include "solver/loads.hpp"
#include <string>
#include <vector>

namespace raybend {

struct NamedActivity {
  Activity activity;
  std::vector<Activity> course; ///< instants over stance; empty: one instant
  std::vector<double> first;    ///< per cent of stance: instants that are solved first
  std::string meaning;
  std::string source;
};

const std::vector<NamedActivity> &named_activities();

std::vector<std::string> activity_names();

/// Throws std::logic_error if there is none of that name.
const NamedActivity &named_activity(const std::string &name);

/// The instant of a course at a place in stance: straight between its rows, held at the ends. Numbers that a course
/// does not have over stance are those of its rows.
Activity course_at(const std::vector<Activity> &course, double stance_percent);

/// Candidates that are solved, every 2.5 % of stance from the first row of a course to the last.
std::vector<Activity> course_instants(const std::vector<Activity> &course);

/// What walking at a speed (m/s, 0.8 to 2) does to a course at 1.3 m/s: the late peak grows by 0.17 body weights per
/// m/s, the forward part in proportion to the root of the speed (both assumed; peaks 1.0 to 1.25 body weights at slow to
/// fast walking: gait texts, from memory).
std::vector<Activity> at_walking_speed(std::vector<Activity> course, double speed_m_s);

/// Peak vertical force of running in body weights at a speed in m/s: 2.2 at 3 m/s to 2.8 at 4.5 m/s, linear
/// between (Cavanagh & Lafortune 1980, from memory), held at the ends outside.
double running_force_bw(double speed_m_s);

} // namespace raybend
