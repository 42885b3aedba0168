// Writing a report: the same for one activity and for a day of several.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace raybend {

struct WrittenReport {
  std::string summary;          ///< text of summary.md
  std::string missing_pictures; ///< why pictures that were asked for are missing; empty: none are
};

/// What goes into the folder of results. Functions, so that nothing is drawn or worded before its turn.
struct ReportParts {
  std::vector<std::pair<std::string, std::string>> tables; ///< file's name, text
  std::string case_text;                                   ///< case.txt; empty: none
  std::vector<std::string> written_before; ///< files of fields and mesh; listed where they are there
  struct Picture {
    std::string words;                              ///< "drawing charts"
    std::function<std::vector<std::string>()> draw; ///< returns the files' names; needs a Display
  };
  std::vector<Picture> pictures;
  std::function<std::string()> page; ///< report.html, written after the pictures; empty: none
  std::function<std::string(const std::vector<std::string> &files)> summary; ///< summary.md
  std::function<std::string(const std::vector<std::string> &files)> details; ///< details.md; empty: none
};

/// Adds charts, pressure maps and bones of one activity, `ending` behind their names; nothing if no design
/// converged. `input` must outlive the parts.
void add_pictures(ReportParts &parts, const ReportInput &input, const std::string &staging_dir,
                  const std::string &ending = "");

/// Adds tables and the chart of how sure the answer is, where that was asked. As add_pictures.
void add_sureness(ReportParts &parts, const ReportInput &input, const std::string &staging_dir);

/// Writes all parts into `staging_dir`, which must exist and may hold mesh.msh and fields already. Without a
/// display the pictures are left out and the summary's list of files says so. `progress` hears a few words
/// before each step and may be empty. Throws std::runtime_error if a file cannot be written.
WrittenReport write_parts(const ReportParts &parts, const std::string &staging_dir, bool pictures,
                          const std::function<void(const std::string &)> &progress);

} // namespace raybend
