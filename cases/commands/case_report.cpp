// A case as a report has it.
#include "cases/commands/case_report.hpp"
#include "geometry/version.hpp"
#include "solver/versions.hpp"

namespace raybend {

ReportInput report_input(const Case &c, const DayActivity &activity, const std::string &date) {
  ReportInput input;
  input.title = c.title;
  input.question = c.question;
  input.note = c.note;
  input.case_path = c.path;
  input.case_text = c.source_text;
  input.foot = c.foot;
  input.activity = activity;
  input.date = date;
  input.reference = c.reference;
  input.changes = c.sets;
  input.warnings = c.warnings;
  for (const auto &r : c.resolved)
    input.resolved.push_back({r.key, r.value, r.unit, r.origin});
  input.versions = solver_versions();
  input.versions.emplace_back("VTK", RAYBEND_VTK_VERSION);
  input.versions.insert(input.versions.begin(), {"raybend", raybend_version});
  return input;
}

} // namespace raybend
