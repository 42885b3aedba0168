// Everything the comparison over a day of several activities leaves on disk.
#include "postprocess/files/day_report.hpp"
#include "postprocess/files/day_tables.hpp"
#include "postprocess/files/fields.hpp"
#include "postprocess/page/page.hpp"
#include "postprocess/pictures/charts.hpp"
#include "postprocess/pictures/day_chart.hpp"
#include "postprocess/words/day_summary.hpp"

namespace raybend {

std::string file_ending(const DayActivity &activity) {
  return "_" + activity.name;
}

WrittenReport write_day_report(const DayInput &input, const std::string &staging_dir, const bool pictures,
                               const std::function<void(const std::string &)> &progress) {
  const DayRanking day = rank_day(input);
  std::vector<std::vector<RankedDesign>> rankings;
  for (const ReportInput &a : input.activities)
    rankings.push_back(rank_designs(a));
  ReportParts parts;
  const std::string json = day_json(input, day, rankings);
  parts.tables = {{"summary.json", json},
                  {"day.csv", day_csv(input, day)},
                  {"rays.csv", day_rays_csv(input)},
                  {"instants.csv", day_instants_csv(input)},
                  {"changes.csv", day_changes_csv(input)},
                  {"shaft.csv", day_shaft_csv(input)}};
  for (const auto &drawing : design_drawings(input.common()))
    parts.tables.push_back(drawing);
  parts.page = [&] {
    const ReportInput &shown = input.activities[shown_activity(input, day)];
    return day_page(input, day, rankings, json,
                    staging_dir + "/bones" + file_ending(shown.activity) + ".png");
  };
  parts.case_text = case_echo(input.common());
  parts.written_before = {"mesh.msh"};
  for (std::size_t i = 0; i < input.activities.size(); ++i) {
    const ReportInput &a = input.activities[i];
    const std::string ending = file_ending(a.activity);
    for (const DesignOutcome &o : a.outcomes)
      parts.written_before.push_back(fields_file(o.design.name + ending));
    add_pictures(parts, a, staging_dir, ending);
  }
  add_sureness(parts, input.common(), staging_dir);
  if (!parts.pictures.empty())
    parts.pictures.insert(
        parts.pictures.begin(),
        {"drawing the day", [&] { return write_chart(day_chart(input, day), staging_dir, "day"); }});
  parts.details = [&](const std::vector<std::string> &files) {
    return day_details(input, day, rankings, files);
  };
  parts.summary = [&](const std::vector<std::string> &files) { return day_summary(input, day, files); };
  return write_parts(parts, staging_dir, pictures, progress);
}

} // namespace raybend
