// Tables of candidates, tolerances, lines, map and front.
#include "postprocess/best/best_tables.hpp"
#include "postprocess/study/study_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>

namespace raybend {

namespace {

std::string value_cell(const BestInput &input, const double value) {
  return input.words.empty() ? csv_number(value) : csv_text(input_value(input, value));
}

std::vector<std::string> names(const std::vector<BestInput> &inputs) {
  std::vector<std::string> list;
  for (const BestInput &input : inputs)
    list.push_back(csv_text(input.name));
  return list;
}

} // namespace

std::string end_words(const BestReport &report, const FlatRange::End end, const std::size_t cap) {
  return end == FlatRange::End::limit ? "limit" : end == FlatRange::End::aim ? "aim" : report.caps[cap];
}

std::string candidates_csv(const BestReport &report, const BestProblem &problem, const BestSearch &search) {
  std::vector<std::string> head = {"candidate", "round"};
  for (const std::string &name : names(problem.inputs))
    head.push_back(name);
  for (const char *name : {"foretold_ue", "aim_ue", "other_head_pressure_kpa", "status", "reason"})
    head.push_back(name);
  for (const std::string &cap : report.caps)
    head.push_back(csv_text("used of " + cap + ", %"));
  std::string text = csv_row(head);
  for (std::size_t i = 0; i < search.candidates.size(); ++i) {
    const Candidate &c = search.candidates[i];
    std::vector<std::string> cells = {std::to_string(i + 1), std::to_string(c.round)};
    for (std::size_t j = 0; j < problem.inputs.size(); ++j)
      cells.push_back(value_cell(problem.inputs[j], c.x[j]));
    for (const double x : {c.predicted, c.aim, c.pressure})
      cells.push_back(csv_number(x));
    cells.push_back(!c.solved          ? "failed"
                    : search.best == i ? "best"
                    : c.use.back() > 1 ? "heads hang"
                    : c.within()       ? "within"
                                       : "over a cap");
    cells.push_back(csv_text(c.why_not));
    for (std::size_t k = 0; k < report.caps.size(); ++k)
      cells.push_back(c.solved ? csv_number(100 * c.use[k]) : "");
    text += csv_row(cells);
  }
  return text;
}

std::string tolerance_csv(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                          const BestAnalysis &analysis) {
  std::string text = "input,best,low,high,low_ends_by,high_ends_by\n";
  for (const FlatRange &r : analysis.flat)
    text += csv_row({csv_text(problem.inputs[r.input].name),
                     csv_number(search.candidates[*search.best].x[r.input]), csv_number(r.low),
                     csv_number(r.high), csv_text(end_words(report, r.low_end, r.low_cap)),
                     csv_text(end_words(report, r.high_end, r.high_cap))});
  return text;
}

std::string lines_csv(const BestProblem &problem, const BestAnalysis &analysis) {
  std::string text = "input,value,foretold_aim_ue,used_of_worst_cap_pct\n";
  for (const FlatRange &r : analysis.flat)
    for (const FlatPoint &p : r.curve)
      text += csv_row({csv_text(problem.inputs[r.input].name), csv_number(p.x), csv_number(p.aim),
                       csv_number(100 * p.use)});
  return text;
}

std::string map_csv(const BestProblem &problem, const BestMap &map) {
  std::string text =
      csv_row({csv_text(problem.inputs[map.x_input].name), csv_text(problem.inputs[map.y_input].name),
               "foretold_aim_ue", "used_of_worst_cap_pct"});
  for (std::size_t j = 0; j < map.y.size(); ++j)
    for (std::size_t i = 0; i < map.x.size(); ++i) {
      const std::size_t k = j * map.x.size() + i;
      text += csv_row(
          {csv_number(map.x[i]), csv_number(map.y[j]), csv_number(map.aim[k]), csv_number(100 * map.use[k])});
    }
  return text;
}

std::string front_csv(const BestProblem &problem, const BestSearch &search, const BestAnalysis &analysis) {
  std::vector<std::string> head = {"known_by", "candidate"};
  for (const std::string &name : names(problem.inputs))
    head.push_back(name);
  for (const char *name : {"aim_ue", "other_head_pressure_kpa", "within_caps"})
    head.push_back(name);
  std::string text = csv_row(head);
  for (const std::size_t i : analysis.front) {
    const Candidate &c = search.candidates[i];
    std::vector<std::string> cells = {"solve", std::to_string(i + 1)};
    for (std::size_t j = 0; j < problem.inputs.size(); ++j)
      cells.push_back(value_cell(problem.inputs[j], c.x[j]));
    cells.insert(cells.end(), {csv_number(c.aim), csv_number(c.pressure), c.within() ? "yes" : "no"});
    text += csv_row(cells);
  }
  for (const auto &p : analysis.foretold_front) {
    std::vector<std::string> cells = {"surrogate", ""};
    cells.resize(cells.size() + problem.inputs.size());
    cells.insert(cells.end(), {csv_number(p[0]), csv_number(p[1]), ""});
    text += csv_row(cells);
  }
  return text;
}

} // namespace raybend
