// Reads a study file; its keys are few and stand here, what they vary stands in the catalogue.
#include "cases/study/study_reader.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/study/key_address.hpp"
#include "cases/study/marginal_reader.hpp"
#include "cases/study/plan.hpp"
#include "cases/study/store.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

namespace raybend {

namespace {

/// Faults that --set would have, at the study's own line.
void relay(StudyTable &table, const std::string &name, const std::vector<Fault> &faults,
           const std::string &address) {
  for (const Fault &old : faults) {
    Fault &f = table.fault(name, old.problem);
    f.found = old.found.empty() ? "\"" + printable(address) + "\"" : old.found;
    f.allowed = old.allowed;
    f.hint = old.hint;
    f.nearest = old.nearest;
  }
}

std::string simple_name(const std::string &key) {
  std::string name;
  for (const char c : key)
    name += (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c : c >= 'A' && c <= 'Z' ? char(c + 32) : '_';
  return name;
}

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
    end_if_faulty(); // without its case no key can be looked up
    read_inputs(top);
    read_correlations(top);
    read_outputs(top);
    top.refuse_unknown();
    check_size(top);
    end_if_faulty();
    ReadStudy read = {s_, base_, {}};
    try {
      read.points = plan_points(s_, base_point_);
    } catch (const std::invalid_argument &error) {
      top.fault("correlation", error.what());
    }
    end_if_faulty();
    return read;
  }

private:
  void end_if_faulty() {
    if (log_.faults.empty())
      return;
    log_.tidy();
    throw CaseError(log_.faults);
  }

  void read_top(StudyTable &top) {
    namespace fs = std::filesystem;
    s_.title = top.text("title").value_or(case_stem(s_.path));
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
    s_.sets = top.texts("set");
    s_.sets.insert(s_.sets.end(), more_sets_.begin(), more_sets_.end());
    const auto file = top.text("case");
    if (!file) {
      if (!top.has("case"))
        top.fault("case", "missing: the case file, seen from the study's folder");
      return;
    }
    s_.case_path = fs::path(*file).is_absolute()
                       ? *file
                       : (fs::path(s_.path).parent_path() / *file).lexically_normal().string();
    if (!fs::exists(s_.case_path)) {
      top.fault("case", "no such file").found = "\"" + printable(*file, 200) + "\"";
      return;
    }
    s_.case_text = read_case_text(s_.case_path);
    base_ = read_case_from_text(s_.case_text, s_.case_path, s_.sets, {1, true});
    std::vector<std::string> names;
    for (const Design &d : base_.designs)
      names.push_back(d.name);
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

  /// The value that the case has there; nothing where it does not say.
  std::optional<double> value_in_case(const std::string &key, const CatalogueRow &row) const {
    for (const Case::Resolved &r : base_.resolved)
      if (r.key == key)
        try {
          return std::stod(r.value);
        } catch (const std::exception &) {
          return {};
        }
    if (row.default_values.size() == 1)
      return row.number();
    return {};
  }

  void read_input(StudyTable &table) {
    Varied input;
    const CatalogueRow *row = nullptr;
    for (const std::string &address : table.texts("key")) {
      const KeyAddress found = find_key(address, s_.case_text, s_.case_path, s_.sets);
      relay(table, "key", found.faults, address);
      if (!found.faults.empty())
        return;
      if (row && row->allowed_words() != found.row->allowed_words()) {
        table.fault("key", "the keys of one input take the same values; these allow different ones");
        return;
      }
      row = found.row;
      input.keys.insert(input.keys.end(), found.keys.begin(), found.keys.end());
      input.name = simple_name(address.substr(address.find_last_of('.') + 1));
    }
    if (!row) {
      if (!table.has("key"))
        table.fault("key", "missing: an address as --set takes it, or with designs[] for all designs");
      return;
    }
    if (row->type == KeyType::choice_list || row->key == "title" || row->key == "note" ||
        row->key == "question" || row->key == "designs[].name" || row->key == "designs[].title") {
      table.fault("key", "cannot be varied").found = input.keys.front();
      return;
    }
    if (const auto name = table.text("name")) { // it ends in its key's unit
      const std::string unit = input.name.substr(without_unit(input.name).size());
      input.name = simple_name(*name);
      if (without_unit(input.name) == input.name)
        input.name += unit;
    }
    input.marginal = read_marginal(table, input.keys.front(), *row, value_in_case(input.keys.front(), *row));
    if (s_.plan == PlanKind::grid && table.has("distribution"))
      table.fault("distribution", "a grid takes lists and ranges; a distribution goes with latin-hypercube, "
                                  "sobol or one-at-a-time");
    table.refuse_unknown();
    for (const Varied &other : s_.inputs)
      for (const std::string &key : other.keys)
        if (std::find(input.keys.begin(), input.keys.end(), key) != input.keys.end())
          table.fault("key", key + " is varied already").found = "\"" + other.name + "\"";
    s_.inputs.push_back(input);
    base_point_.push_back(base_value(input, *row));
  }

  /// Of an input that the case does not say, the first value.
  double base_value(const Varied &input, const CatalogueRow &row) const {
    const Marginal &m = input.marginal;
    if (!m.is_number()) {
      for (const Case::Resolved &r : base_.resolved)
        if (r.key == input.keys.front())
          for (std::size_t i = 0; i < m.words.size(); ++i)
            if (m.words[i] == r.value)
              return i;
      return 0;
    }
    const auto value = value_in_case(input.keys.front(), row);
    return value ? *value : m.is_list() ? (m.values.empty() ? 0 : m.values.front()) : m.quantile(0.5);
  }

  void read_inputs(StudyTable &top) {
    const auto tables = top.table_list("vary");
    if (tables.empty() && log_.faults.empty())
      top.fault("vary", "missing: nothing varies; give one [[vary]] or more with key and values");
    for (std::size_t i = 0; i < tables.size(); ++i) {
      StudyTable table(log_, tables[i], "vary[" + std::to_string(i + 1) + "]");
      read_input(table);
    }
    name_apart(top);
  }

  /// Names of columns: unlike one another and the outputs'.
  void name_apart(StudyTable &top) {
    std::set<std::string> taken(store_columns().begin(), store_columns().end());
    for (Varied &input : s_.inputs) {
      if (taken.count(input.name))
        input.name = simple_name(input.keys.front());
      if (!taken.insert(input.name).second)
        top.fault("vary", "two columns would have one name; give each a name = ..").found = input.name;
    }
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
