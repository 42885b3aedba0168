// Everything one comparison leaves on disk.
#pragma once
#include "postprocess/files/report_files.hpp"

namespace raybend {

/// Writes report.html, design-NAME.svg, summary.md, summary.json, rays.csv, changes.csv, shaft.csv and the case's text (case.txt) into `staging_dir`,
/// which must exist; with `pictures` also shaft-strain and bending-stress (PNG, SVG), pressure.png and
/// bones.png, as write_parts does. Throws std::invalid_argument if the input contradicts itself.
WrittenReport write_report(const ReportInput &input, const std::string &staging_dir, bool pictures,
                           const std::function<void(const std::string &)> &progress = {});

} // namespace raybend
