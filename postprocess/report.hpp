// Everything one comparison leaves on disk.
#pragma once
#include "postprocess/report_input.hpp"
#include <functional>
#include <string>

namespace raybend {

/// Writes summary.md, summary.json, rays.csv, shaft.csv and the case's text (case.txt) into `staging_dir`,
/// which must exist; with `pictures` also shaft-strain and bending-stress (PNG, SVG), pressure.png and
/// bones.png. `progress` hears a few words before each step and may be empty. Returns the text of summary.md.
/// Throws std::runtime_error if a file cannot be written or there is no display for pictures,
/// std::invalid_argument if the input contradicts itself.
std::string write_report(const ReportInput &input, const std::string &staging_dir, bool pictures,
                         const std::function<void(const std::string &)> &progress = {});

} // namespace raybend
