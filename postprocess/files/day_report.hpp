// Everything the comparison over a day of several activities leaves on disk.
#pragma once
#include "postprocess/compare/day.hpp"
#include "postprocess/files/report_files.hpp"

namespace raybend {

/// As write_report: summary.md, summary.json, rays.csv, changes.csv, shaft.csv and day.csv; with `pictures` the chart
/// `day` and the pictures of every activity, its name behind theirs (pressure_crates.png).
WrittenReport write_day_report(const DayInput &input, const std::string &staging_dir, bool pictures,
                               const std::function<void(const std::string &)> &progress = {});

/// "_crates": behind the names of an activity's files. Names of designs and activities hold no underscore.
std::string file_ending(const DayActivity &activity);

} // namespace raybend
