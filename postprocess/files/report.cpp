// Everything one comparison leaves on disk.
#include "postprocess/files/report.hpp"
#include "postprocess/files/fields.hpp"
#include "postprocess/files/tables.hpp"
#include "postprocess/page/page.hpp"
#include "postprocess/words/summary.hpp"

namespace raybend {

WrittenReport write_report(const ReportInput &input, const std::string &staging_dir, bool pictures,
                           const std::function<void(const std::string &)> &progress) {
  const std::vector<RankedDesign> ranking = rank_designs(input);
  ReportParts parts;
  const std::string json = summary_json(input, ranking);
  parts.tables = {{"summary.json", json},
                  {"rays.csv", rays_csv(input)},
                  {"instants.csv", instants_csv(input)},
                  {"changes.csv", changes_csv(input)},
                  {"shaft.csv", shaft_csv(input)}};
  for (const auto &drawing : design_drawings(input))
    parts.tables.push_back(drawing);
  parts.page = [&] { return report_page(input, ranking, json, staging_dir + "/bones.png"); };
  parts.case_text = case_echo(input);
  parts.written_before = {"mesh.msh"};
  for (const DesignOutcome &o : input.outcomes)
    parts.written_before.push_back(fields_file(o.design.name));
  add_sureness(parts, input, staging_dir);
  add_pictures(parts, input, staging_dir);
  parts.details = [&](const std::vector<std::string> &files) { return details_text(input, ranking, files); };
  parts.summary = [&](const std::vector<std::string> &files) { return summary_text(input, ranking, files); };
  return write_parts(parts, staging_dir, pictures, progress);
}

} // namespace raybend
