#include "postprocess/day_report.hpp"
#include "postprocess/bones_view.hpp"
#include "postprocess/charts.hpp"
#include "postprocess/day_chart.hpp"
#include "postprocess/day_summary.hpp"
#include "postprocess/day_tables.hpp"
#include "postprocess/display.hpp"
#include "postprocess/file_write.hpp"
#include "postprocess/pressure.hpp"
#include <algorithm>
#include <filesystem>

namespace raybend {

std::string file_ending(const DayActivity &activity) {
  return "_" + activity.name;
}

std::string write_day_report(const DayInput &input, const std::string &staging_dir, const bool pictures,
                             const std::function<void(const std::string &)> &progress) {
  const auto say = [&](const std::string &words) {
    if (progress)
      progress(words);
  };
  const DayRanking day = rank_day(input);
  std::vector<std::vector<RankedDesign>> rankings;
  for (const ReportInput &a : input.activities)
    rankings.push_back(rank_designs(a));

  say("writing tables");
  std::vector<std::string> files = {"summary.md", "summary.json", "day.csv", "rays.csv", "shaft.csv"};
  write_file(staging_dir + "/summary.json", day_json(input, day, rankings));
  write_file(staging_dir + "/day.csv", day_csv(input, day));
  write_file(staging_dir + "/rays.csv", day_rays_csv(input));
  write_file(staging_dir + "/shaft.csv", day_shaft_csv(input));
  if (!input.common().case_text.empty()) {
    write_file(staging_dir + "/case.txt", case_echo(input.common()));
    files.push_back("case.txt");
  }
  if (std::filesystem::exists(staging_dir + "/mesh.msh"))
    files.push_back("mesh.msh");

  const auto anything = [](const ReportInput &a) {
    return std::any_of(a.outcomes.begin(), a.outcomes.end(),
                       [](const DesignOutcome &o) { return o.with.converged; });
  };
  if (pictures && std::any_of(input.activities.begin(), input.activities.end(), anything)) {
    const Display display;
    say("drawing the day");
    const auto add = [&files](const std::vector<std::string> &names) {
      files.insert(files.end(), names.begin(), names.end());
    };
    add(write_chart(day_chart(input, day), staging_dir, "day"));
    for (std::size_t i = 0; i < input.activities.size(); ++i) {
      const ReportInput &a = input.activities[i];
      if (!anything(a))
        continue;
      say("drawing " + a.activity.name);
      const std::string ending = file_ending(a.activity);
      add(write_charts(a, rankings[i], staging_dir, ending));
      if (write_pressure_maps(a, staging_dir + "/pressure" + ending + ".png"))
        add({"pressure" + ending + ".png"});
      if (write_bones_view(a, staging_dir + "/bones" + ending + ".png"))
        add({"bones" + ending + ".png"});
    }
  }

  const std::string text = day_summary(input, day, rankings, files);
  write_file(staging_dir + "/summary.md", text);
  return text;
}

} // namespace raybend
