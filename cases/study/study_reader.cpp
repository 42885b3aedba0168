// Reads a study file; its keys are few and stand here, what they vary stands in the catalogue.
#include "cases/study/study_reader.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/study/plan/input_reader.hpp"
#include "cases/study/plan/marginal_reader.hpp"
#include "cases/study/plan/plan.hpp"
#include "cases/study/store.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

class Reader {
public:
  Reader(const std::string &path, const std::vector<std::string> &sets) {
    s_.path = path;
    s_.text = read_case_text(path);
    root_ = parse_toml(s_.text, path);
    log_.file = path;
    log_.text = s_.text;
    more_sets_ = sets;
  }

  ReadStudy read() {
    StudyTable top(log_, &root_, "");
    if (root_.contains("patient"))
      throw other_file(s_.path, "forefoot case", "study", "compare");
    read_top(top);
    log_.end_if_faulty(); // without its case no key can be looked up
    read_inputs(top);
    read_correlations(top);
    read_outputs(top);
    top.refuse_unknown();
    check_size(top);
    log_.end_if_faulty();
    ReadStudy read = {s_, base_, {}};
    try {
      read.points = plan_points(s_, base_point_);
    } catch (const std::invalid_argument &error) {
      top.fault("correlation", error.what());
    }
    log_.end_if_faulty();
    return read;
  }

private:
  void read_top(StudyTable &top) {
    if (const auto word = top.choice("plan", plan_names()))
      s_.plan = PlanKind(std::find(plan_names().begin(), plan_names().end(), *word) - plan_names().begin());
    else if (!top.has("plan"))
      top.fault("plan", "missing").allowed = list_text(plan_names());
    const bool sample = s_.plan == PlanKind::latin_hypercube || s_.plan == PlanKind::sobol;
    const auto points = top.whole("points", 1, 1e9);
    if (points)
      s_.points = *points;
    if (sample && !top.has("points"))
      top.fault("points", "missing: how many points are drawn").allowed = "1 to " + std::to_string(most_runs);
    if (!sample && points && top.has("plan"))
      top.fault("points", "has no effect: a " + plan_names()[int(s_.plan)] +
                              " plan has the points that its values make");
    s_.seed = top.whole("seed", 0, 4294967295.0).value_or(s_.plan == PlanKind::sobol ? 0 : 1);
    read_named_case(top, s_, base_, more_sets_);
    if (s_.case_text.empty())
      return;
    const std::vector<std::string> names = design_names(base_);
    s_.designs = top.texts("designs");
    for (const std::string &name : s_.designs)
      if (std::find(names.begin(), names.end(), name) == names.end()) {
        Fault &f = top.fault("designs", "no design of the case has this name");
        f.found = "\"" + printable(name) + "\"";
        f.allowed = list_text(names);
        f.propose(likely_names(name, names));
      }
    if (!top.has("designs"))
      s_.designs = names;
  }

  /// Of an input that the case does not say, the first value.
  double base_value(const Varied &input) const {
    const Marginal &m = input.marginal;
    if (const auto value = value_in_case(input, base_))
      return *value;
    return !m.is_list() ? m.quantile(0.5) : m.values.empty() ? 0 : m.values.front();
  }

  void read_inputs(StudyTable &top) {
    const auto tables = top.table_list("vary");
    if (tables.empty() && log_.faults.empty())
      top.fault("vary", "missing: nothing varies; give one [[vary]] or more with key and values");
    for (std::size_t i = 0; i < tables.size(); ++i) {
      StudyTable table(log_, tables[i], "vary[" + std::to_string(i + 1) + "]");
      if (!read_input(table, s_, base_, read_marginal))
        continue;
      if (s_.plan == PlanKind::grid && table.has("distribution"))
        table.fault("distribution",
                    "a grid takes lists and ranges; a distribution goes with latin-hypercube, "
                    "sobol or one-at-a-time");
      base_point_.push_back(base_value(s_.inputs.back()));
    }
    name_apart(top, s_, "vary");
  }

  void read_correlations(StudyTable &top) {
    const auto tables = top.table_list("correlation");
    const bool sample = s_.plan == PlanKind::latin_hypercube || s_.plan == PlanKind::sobol;
    if (!tables.empty() && !sample)
      top.fault("correlation", "goes with a sample: plan latin-hypercube or sobol");
    std::vector<std::string> names;
    for (const Varied &input : s_.inputs)
      names.push_back(input.name);
    for (std::size_t i = 0; i < tables.size(); ++i) {
      StudyTable table(log_, tables[i], "correlation[" + std::to_string(i + 1) + "]");
      const auto between = table.texts("between");
      std::vector<std::size_t> places;
      for (const std::string &name : between) {
        places.push_back(std::find(names.begin(), names.end(), name) - names.begin());
        if (places.back() == names.size()) {
          Fault &f = table.fault("between", "no input has this name");
          f.found = "\"" + printable(name) + "\"";
          f.allowed = list_text(names);
          f.propose(likely_names(name, names));
        }
      }
      const auto rank = table.number("rank", -0.99, 0.99);
      if (!table.has("rank"))
        table.fault("rank", "missing").allowed = "-0.99 to 0.99";
      if (places.size() != 2 || places[0] == places[1])
        table.fault("between", "two inputs are wanted");
      else if (rank)
        s_.correlations.push_back({places[0], places[1], *rank});
      table.refuse_unknown();
    }
  }

  void read_outputs(StudyTable &top) {
    s_.outputs = top.texts("outputs");
    for (const std::string &name : s_.outputs)
      if (std::find(output_columns().begin(), output_columns().end(), name) == output_columns().end()) {
        Fault &f = top.fault("outputs", "no such output");
        f.found = "\"" + printable(name) + "\"";
        f.propose(likely_names(name, output_columns()));
        if (f.nearest.empty() && f.hint.empty())
          f.allowed = list_text(output_columns());
      }
    if (!top.has("outputs"))
      s_.outputs = {"peak_strain_ue", "head_pressure_peak_kpa"};
    if (const toml::array *list = top.has("rays") ? top.list("rays") : nullptr) {
      for (const toml::node &item : *list)
        if (const auto r = item.value<int>(); item.is_integer() && r && *r >= 1 && *r <= 5)
          s_.rays.push_back(*r);
        else
          top.wrong_item("rays", item, "1 to 5");
    } else if (!top.has("rays")) {
      s_.rays = {base_.foot.painful_ray};
    }
  }

  void check_size(StudyTable &top) {
    if (!log_.faults.empty())
      return;
    const double runs = count_points(s_) * s_.designs.size() * base_.day.size();
    if (runs > most_runs) {
      Fault &f = top.fault(top.has("points") ? "points" : "plan", "too many runs");
      f.found = number_text(runs, 12) + " (points times designs times activities)";
      f.allowed = "at most " + std::to_string(most_runs);
    }
    if (s_.plan == PlanKind::sobol && s_.inputs.size() > most_sobol_inputs)
      top.fault("vary", "too many inputs").allowed = "at most " + std::to_string(most_sobol_inputs);
  }

  Study s_;
  Case base_;
  StudyPoint base_point_;
  std::vector<std::string> more_sets_;
  toml::table root_;
  ReadingLog log_;
};

} // namespace

ReadStudy read_study(const std::string &path, const std::vector<std::string> &sets) {
  return Reader(path, sets).read();
}

} // namespace raybend
