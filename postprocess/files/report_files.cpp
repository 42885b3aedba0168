// Writing a report: the same for one activity and for a day of several.
#include "postprocess/files/report_files.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/files/fields.hpp"
#include "postprocess/pictures/bones_view.hpp"
#include "postprocess/pictures/charts.hpp"
#include "postprocess/pictures/pressure.hpp"
#include "postprocess/pictures/sure_chart.hpp"
#include "postprocess/sure/sure_tables.hpp"
#include "postprocess/text/file_write.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <regex>

namespace raybend {

void add_pictures(ReportParts &parts, const ReportInput &input, const std::string &staging_dir,
                  const std::string &ending) {
  if (std::none_of(input.outcomes.begin(), input.outcomes.end(),
                   [](const DesignOutcome &o) { return o.with.converged; }))
    return;
  const std::string of = ending.empty() ? "" : " of " + input.activity.name;
  parts.pictures.push_back({"drawing charts" + of, [&input, staging_dir, ending] {
                              return write_charts(input, staging_dir, ending);
                            }});
  const auto add = [&](const std::string &words, const std::string &stem, const auto &write) {
    parts.pictures.push_back({words + of, [&input, write, staging_dir, file = stem + ending + ".png"] {
                                return write(input, staging_dir + "/" + file) ? std::vector<std::string>{file}
                                                                              : std::vector<std::string>{};
                              }});
  };
  add("drawing pressure maps", "pressure",
      [](const ReportInput &in, const std::string &path) { return write_pressure_maps(in, path); });
  add("drawing bones", "bones",
      [](const ReportInput &in, const std::string &path) { return write_bones_view(in, path); });
}

namespace {

/// "NAME, with its part PART" of a .pvtu; other files by their name alone.
std::string with_parts(const std::string &folder, const std::string &name) {
  if (std::filesystem::path(name).extension() != ".pvtu")
    return name;
  std::ifstream file(folder + "/" + name);
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  static const std::regex piece("<Piece\\s+Source=\"([^\"]*)\"");
  std::vector<std::string> parts;
  for (std::sregex_iterator at(text.begin(), text.end(), piece), end; at != end; ++at)
    parts.push_back((*at)[1]);
  return parts.empty()
             ? name
             : name + (parts.size() == 1 ? ", with its part " : ", with its parts ") + list_of(parts);
}

} // namespace

void add_sureness(ReportParts &parts, const ReportInput &input, const std::string &staging_dir) {
  if (!input.sure)
    return;
  const Sureness &sure = *input.sure;
  parts.written_before.push_back("sure-feet.csv");
  parts.tables.insert(parts.tables.end(), {{"sure-pairs.csv", pairs_csv(sure)},
                                           {"sure-ranks.csv", ranks_csv(sure)},
                                           {"sure-measurements.csv", measurements_csv(sure)},
                                           {"sure-evidence.csv", evidence_csv(sure)}});
  if (sure.why_not.empty())
    parts.pictures.push_back({"drawing how sure", [&input, staging_dir] {
                                return write_chart(sure_chart(input), staging_dir, "sure");
                              }});
}

WrittenReport write_parts(const ReportParts &parts, const std::string &staging_dir, const bool pictures,
                          const std::function<void(const std::string &)> &progress) {
  const auto say = [&](const std::string &words) {
    if (progress)
      progress(words);
  };
  std::vector<std::string> files = {"summary.md"};
  const auto write = [&](const std::string &name, const std::string &text) {
    write_file(staging_dir + "/" + name, text);
    files.push_back(name);
  };
  say("writing tables");
  for (const auto &[name, text] : parts.tables)
    write(name, text);
  if (!parts.case_text.empty())
    write("case.txt", parts.case_text);
  bool fields = false;
  for (const std::string &name : parts.written_before)
    if (std::filesystem::exists(staging_dir + "/" + name)) {
      files.push_back(with_parts(staging_dir, name));
      fields |= std::filesystem::path(name).extension() == ".pvtu";
    }
  if (fields)
    write("show_fields.py", show_fields_script);

  WrittenReport report;
  if (pictures && !parts.pictures.empty()) {
    std::optional<Display> display;
    report.missing_pictures = why_no_display(display);
    if (display)
      for (const ReportParts::Picture &picture : parts.pictures) {
        say(picture.words);
        const std::vector<std::string> names = picture.draw();
        files.insert(files.end(), names.begin(), names.end());
      }
    else
      files.push_back(no_pictures_words(report.missing_pictures));
  }
  if (parts.page) {
    say("writing the page");
    write_file(staging_dir + "/report.html", parts.page());
    files.insert(files.begin() + 1, "report.html");
  }
  if (parts.details) {
    files.insert(files.begin() + 1, "details.md");
    write_file(staging_dir + "/details.md", parts.details(files));
  }
  report.summary = parts.summary(files);
  write_file(staging_dir + "/summary.md", report.summary);
  return report;
}

} // namespace raybend
