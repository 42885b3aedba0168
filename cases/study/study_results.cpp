// From the store to files.
#include "cases/study/study_results.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/run/progress.hpp"
#include "cases/study/run_units.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/study/study_pictures.hpp"
#include "postprocess/study/study_summary.hpp"
#include "postprocess/study/study_tables.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr int measure_points = 400; ///< that stand for a distribution

StudyInput input_of(const Varied &v) {
  StudyInput input;
  input.name = v.name;
  input.list = v.marginal.is_list();
  input.words = v.marginal.words;
  if (input.list)
    input.measure = v.marginal.values;
  else
    for (int i = 0; i < measure_points; ++i)
      input.measure.push_back(v.marginal.quantile((i + 0.5) / measure_points));
  return input;
}

/// The column of an output's band, "" if it has none: peak_strain_ue -> peak_strain_band_ue.
std::string band_column(const std::string &output) {
  for (const std::string unit : {"_ue", "_kpa", "_mpa", "_n_mm", "_n"})
    if (output.size() > unit.size() && output.compare(output.size() - unit.size(), unit.size(), unit) == 0)
      if (const std::string band = output.substr(0, output.size() - unit.size()) + "_band" + unit;
          std::count(output_columns().begin(), output_columns().end(), band))
        return band;
  return "";
}

StudyData data_of(const ReadStudy &read, StudyStore &store, const std::size_t runs) {
  const Study &s = read.study;
  StudyData data;
  data.title = s.title;
  data.case_title = read.base.title;
  data.note = read.base.note;
  data.plan = s.plan == PlanKind::grid            ? StudyPlan::grid
              : s.plan == PlanKind::one_at_a_time ? StudyPlan::one_at_a_time
                                                  : StudyPlan::sample;
  data.correlated = !s.correlations.empty();
  data.coarse = read.base.settings.resolution == Resolution::coarse;
  data.several_activities = read.base.day.size() > 1;
  for (const Varied &v : s.inputs)
    data.inputs.push_back(input_of(v));
  data.points = read.points;
  data.runs = runs;
  for (const auto &[status, n] : store.statuses())
    (status == "done" ? data.done : status == "failed" ? data.failed : data.refused) = n;
  for (const auto &[run, why] : store.reasons(5))
    data.reasons.push_back("point " + std::to_string(run.point) + ", " + run.design + ": " + why);
  for (const int ray : s.rays)
    for (const std::string &output : s.outputs) {
      const std::string band = band_column(output);
      const auto values = store.values(ray, band.empty() ? std::vector<std::string>{output}
                                                         : std::vector<std::string>{output, band});
      for (const DayActivity &activity : read.base.day)
        for (const std::string &design : s.designs) {
          StudySeries series{activity_name(activity), design, output, ray, {}, {}, {}};
          for (const StudyStore::Value &v : values)
            if (v.run.design == design && v.run.activity == series.activity && std::isfinite(v.outputs[0])) {
              series.point.push_back(v.run.point - 1);
              series.value.push_back(v.outputs[0]);
              series.band.push_back(band.empty() ? std::nan("") : v.outputs[1]);
            }
          data.series.push_back(series);
        }
    }
  return data;
}

} // namespace

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
                        const std::string &out, const bool pictures, const bool progress) {
  ProgressLine line(progress);
  StudyReport report;
  OutputFolder folder(out);
  folder.write("study.toml", read.study.text);
  folder.write("case.toml", read.study.case_text);
  folder.write("plan.csv", plan_table(read));
  folder.write("runs.csv", store.csv());
  const StudyData data = data_of(read, store, runs);
  const StudyAnalysis analysis = analyse(data, [&](const std::string &words) { line.say(words); });
  report.done = data.done;
  report.summary = study_summary(data, analysis);
  folder.write("summary.md", report.summary);
  folder.write("curves.csv", curves_csv(data, analysis));
  if (!analysis.maps.empty())
    folder.write("maps.csv", maps_csv(data, analysis));
  if (!analysis.tornados.empty())
    folder.write("tornado.csv", tornado_csv(data, analysis));
  if (data.plan != StudyPlan::one_at_a_time && data.inputs.size() > 1)
    folder.write("indices.csv", indices_csv(data, analysis));
  if (pictures)
    report.missing_pictures = write_study_pictures(study_pictures(data, analysis), folder.staging(),
                                                   [&](const std::string &words) { line.say(words); });
  folder.commit();
  return report;
}

} // namespace raybend
