// The numbers of a day of several activities for other programs; tables.hpp says how they are written.
#pragma once
#include "postprocess/compare/day.hpp"
#include <string>
#include <vector>

namespace raybend {

/// As summary_json, with a list `activities` (each with its ranking and designs) and the object `day`.
std::string day_json(const DayInput &input, const DayRanking &day,
                     const std::vector<std::vector<RankedDesign>> &rankings);

/// rays.csv, changes.csv and shaft.csv with a first column `activity`.
std::string day_rays_csv(const DayInput &input);
std::string day_instants_csv(const DayInput &input);
std::string day_changes_csv(const DayInput &input);
std::string day_shaft_csv(const DayInput &input);

/// day.csv: one line for each design, with and without support elements, and exponent. damage_share_NAME_pct:
/// what the activity NAME adds to the damage sum. The rank is of designs as given, at that exponent:
/// rank_best and rank_worst are empty in lines of designs without their support elements and of designs that
/// did not converge; so is every number of a design that did not converge.
std::string day_csv(const DayInput &input, const DayRanking &day);

} // namespace raybend
