// The numbers for other programs: one JSON document with full precision and two CSV tables with 7 significant
// digits; '.' as decimal sign, stable order; every key or head carries its unit (mm, n, mpa, kpa, ue =
// microstrain, pct, deg). What is not a number is null in JSON and an empty field in CSV.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Everything: the case as given and as resolved, versions, ranking, warnings, all results but pictures'
/// patches.
std::string summary_json(const ReportInput &input, const std::vector<RankedDesign> &ranking);

/// One line for each design, with and without support elements, and ray. A design without support elements
/// has lines "none" only.
std::string rays_csv(const ReportInput &input);

/// How much every number of every ray changed: one line for each design and ray against the reference design
/// (`against` = reference) and, where it has support elements, against the same insole without them (without): value
/// now less value then in the number's own unit, and that in per cent of the amount then. Bands and places have none.
/// The same at every instant of the step that was solved.
std::string instants_csv(const ReportInput &input);

std::string changes_csv(const ReportInput &input);

/// One line for each station of each of those of rays_csv.
std::string shaft_csv(const ReportInput &input);

} // namespace raybend
