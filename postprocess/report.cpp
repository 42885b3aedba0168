#include "postprocess/report.hpp"
#include "postprocess/bones_view.hpp"
#include "postprocess/charts.hpp"
#include "postprocess/display.hpp"
#include "postprocess/file_write.hpp"
#include "postprocess/pressure.hpp"
#include "postprocess/ranking.hpp"
#include "postprocess/summary.hpp"
#include "postprocess/tables.hpp"
#include <algorithm>
#include <filesystem>

namespace raybend {

std::string write_report(const ReportInput &input, const std::string &staging_dir, bool pictures,
                         const std::function<void(const std::string &)> &progress) {
  auto say = [&](const std::string &words) {
    if (progress)
      progress(words);
  };
  const std::vector<RankedDesign> ranking = rank_designs(input);
  std::vector<std::string> files = {"summary.md", "summary.json", "rays.csv", "shaft.csv"};

  say("writing tables");
  write_file(staging_dir + "/summary.json", summary_json(input, ranking));
  write_file(staging_dir + "/rays.csv", rays_csv(input));
  write_file(staging_dir + "/shaft.csv", shaft_csv(input));
  for (const DesignOutcome &o : input.outcomes) // fields, where they have been written
    if (const std::string name = o.design.name + "_0.pvtu"; std::filesystem::exists(staging_dir + "/" + name))
      files.push_back(name);
  if (!input.case_text.empty()) {
    write_file(staging_dir + "/case.txt", case_echo(input));
    files.push_back("case.txt");
  }
  if (std::filesystem::exists(staging_dir + "/mesh.msh"))
    files.push_back("mesh.msh");

  const bool anything = std::any_of(input.outcomes.begin(), input.outcomes.end(),
                                    [](const DesignOutcome &o) { return o.with.converged; });
  if (pictures && anything) {
    const Display display;
    say("drawing charts");
    for (const std::string &name : write_charts(input, ranking, staging_dir))
      files.push_back(name);
    say("drawing pressure maps");
    if (write_pressure_maps(input, staging_dir + "/pressure.png"))
      files.push_back("pressure.png");
    say("drawing bones");
    if (write_bones_view(input, staging_dir + "/bones.png"))
      files.push_back("bones.png");
  }

  const std::string text = summary_text(input, ranking, files);
  write_file(staging_dir + "/summary.md", text);
  return text;
}

} // namespace raybend
