// From the store to files.
#include "cases/study/study_results.hpp"
#include "cases/words/words.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"

namespace raybend {

std::string plan_table(const ReadStudy &read) {
  std::string text = "point";
  for (const Varied &v : read.study.inputs)
    text += "," + v.name;
  text += "\n";
  for (std::size_t i = 0; i < read.points.size(); ++i) {
    text += std::to_string(i + 1);
    for (std::size_t j = 0; j < read.points[i].size(); ++j) {
      const Marginal &m = read.study.inputs[j].marginal;
      text += "," + (m.is_number() ? csv_number(read.points[i][j]) : csv_text(m.text(read.points[i][j])));
    }
    text += "\n";
  }
  return text;
}

StudyReport write_study(const ReadStudy &read, StudyStore &store, const std::size_t runs,
                        const std::string &out, const bool, const bool) {
  StudyReport report;
  OutputFolder folder(out);
  folder.write("runs.csv", store.csv());
  for (const auto &[status, n] : store.statuses()) {
    if (status == "done")
      report.done = n;
    report.summary += std::to_string(n) + " of " + std::to_string(runs) + " runs " + status + "\n";
  }
  folder.write("summary.md", report.summary);
  folder.write("study.toml", read.study.text);
  folder.commit();
  return report;
}

} // namespace raybend
