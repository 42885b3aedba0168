// From the search to files.
#include "cases/best/best_results.hpp"
#include "cases/best/winning_case.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/progress.hpp"
#include "postprocess/best/best_pictures.hpp"
#include "postprocess/best/best_summary.hpp"
#include "postprocess/best/best_tables.hpp"
#include "postprocess/compare/day.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/study/study_pictures.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <stdexcept>

namespace raybend {

namespace {

BestNumbers numbers_of(const Best &best, const DesignValues &values) {
  BestNumbers n;
  n.known = values.solved;
  n.aim = values.aims[best.law];
  n.pressure = values.other_pressure;
  n.ray_strain = values.strain;
  n.ray_pressure = values.pressure;
  n.aims = values.aims;
  return n;
}

BestReport report_of(const Best &best, const FoundBest &found) {
  BestReport r;
  r.title = best.study.title;
  r.case_title = best.base.title;
  r.note = best.base.note;
  r.design = best.design;
  r.reference = best.base.reference;
  r.painful = best.base.foot.painful_ray;
  r.coarse = best.base.settings.resolution == Resolution::coarse;
  r.day = best.is_day();
  r.exponent = fatigue_laws[best.law].exponent;
  for (std::size_t l = 0; l < n_laws; ++l)
    r.exponents[l] = fatigue_laws[l].exponent;
  r.least_at = found.least_at;
  r.aim_words = (r.day ? "day-equivalent strain of ray " : "peak strain of ray ") + std::to_string(r.painful);
  if (best.doubt != Doubt::none) {
    std::vector<std::string> names;
    for (std::size_t j = best.chosen; j < best.study.inputs.size(); ++j)
      names.push_back(best.study.inputs[j].name);
    const std::string what = best.doubt == Doubt::mean ? "the mean" : "the value that four fifths stay below";
    r.doubt_words = "Under doubt: every number is " + what + " over " + std::to_string(best.draws) +
                    " draws of " + list_of(names) + ", the same for every design.";
  }
  r.caps = use_labels(best);
  r.sets = best.study.sets;
  r.runs = found.runs;
  r.failed = found.failed;
  r.at_reference = numbers_of(best, found.reference);
  r.stands = numbers_of(best, found.stood);
  r.won = numbers_of(best, found.won);
  return r;
}

} // namespace

BestWritten write_best(const Best &best, const FoundBest &found, StudyStore &store, const std::string &out,
                       const bool pictures, const bool progress) {
  ProgressLine line(progress);
  const BestSearch &search = found.search;
  if (!search.best && !search.nearest) {
    const auto why = store.reasons(1);
    throw std::runtime_error(
        "nothing is solved, so that nothing can be said" +
        (why.empty() ? std::string() : "; " + why.front().first.design + ": " + why.front().second));
  }
  BestWritten written;
  written.found = search.best.has_value();
  line.say("what follows from the solves");
  BestReport report = report_of(best, found);
  const BestAnalysis analysis = analyse_best(found.problem, search);
  OutputFolder folder(out);
  if (search.best) {
    const WinningCase winner = winning_case(best, search.candidates[*search.best].x);
    report.case_file = case_stem(best.study.path) + "-case.toml";
    report.winner = winner.name;
    report.warnings = winner.warnings;
    folder.write(report.case_file, winner.text);
  }
  folder.write("best.toml", best.study.text);
  folder.write("runs.csv", store.csv());
  written.summary = best_summary(report, found.problem, search, analysis);
  folder.write("summary.md", written.summary);
  folder.write("candidates.csv", candidates_csv(report, found.problem, search));
  if (!analysis.flat.empty()) {
    folder.write("tolerance.csv", tolerance_csv(report, found.problem, search, analysis));
    folder.write("lines.csv", lines_csv(found.problem, analysis));
  }
  if (analysis.map)
    folder.write("map.csv", map_csv(found.problem, *analysis.map));
  folder.write("front.csv", front_csv(found.problem, search, analysis));
  if (pictures)
    written.missing_pictures =
        write_study_pictures(best_pictures(report, found.problem, search, analysis), folder.staging(),
                             [&](const std::string &words) { line.say(words); });
  folder.commit();
  return written;
}

} // namespace raybend
