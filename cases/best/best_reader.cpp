// Reads what is to be chosen, the caps and the doubt; inputs are read as a study's.
#include "cases/best/best_reader.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/study/plan/input_reader.hpp"
#include "cases/study/plan/marginal_reader.hpp"
#include "cases/study/plan/plan.hpp"
#include "cases/study/study_columns.hpp"
#include "cases/words/words.hpp"
#include "postprocess/compare/day.hpp"
#include "postprocess/study/study_words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr int measure_points = 400; ///< that stand for the values between two limits
constexpr double points_an_input =
    10; ///< of the sample, where the file does not say (usual practice, no source)
constexpr std::size_t least_sample = 12;

bool ends_with(const std::string &text, const std::string &end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

/// A step of 1, 0.1, 0.01 ..: fifty or more of them between the limits.
double step_of(const double range) {
  return std::pow(10, std::floor(std::log10(range / 50) + 1e-9));
}

BestInput chosen_input(const Varied &v) {
  BestInput input;
  const Marginal &m = v.marginal;
  input.name = v.name;
  input.list = m.is_list();
  input.words = m.words;
  if (m.is_list()) {
    input.measure = m.values;
    const auto [low, high] = std::minmax_element(m.values.begin(), m.values.end());
    input.low = *low;
    input.high = *high;
  } else {
    for (int i = 0; i < measure_points; ++i)
      input.measure.push_back(m.quantile((i + 0.5) / measure_points));
    input.low = m.low;
    input.high = m.high;
    input.step = step_of(m.high - m.low);
  }
  return input;
}

/// Limits, or a list as a study has it.
Marginal read_limits(StudyTable &table, const std::string &key, const CatalogueRow &row,
                     const std::optional<double> &in_case) {
  Marginal m;
  const bool limits = (table.has("from") || table.has("to")) && !table.has("step") && !table.has("values");
  if (table.has("distribution")) {
    table.fault("distribution", "goes with [[uncertain]]; what is to be chosen has from and to, or values");
    table.know({"distribution", "mean", "deviation", "low", "high", "mode"});
  } else if (limits && (row.type == KeyType::number || row.type == KeyType::integer)) {
    const auto from = table.number("from", row.allowed.low, row.allowed.high),
               to = table.number("to", row.allowed.low, row.allowed.high);
    for (const char *name : {"from", "to"})
      if (!table.has(name))
        table.fault(name, "missing: limits are from and to");
    if (!from || !to)
      return m;
    if (!(*from < *to))
      table.fault("to", "not above from").found = number_text(*to);
    m.kind = Marginal::Kind::uniform;
    m.low = *from;
    m.high = *to;
    if (row.type == KeyType::integer) {
      m.kind = Marginal::Kind::list;
      for (double x = std::ceil(*from); x <= *to && m.values.size() < 1000; ++x)
        m.values.push_back(x);
    }
  } else {
    m = read_marginal(table, key, row, in_case);
  }
  if (const bool none = m.values.empty() && table.has("from") && row.type == KeyType::integer;
      m.is_list() && (m.values.size() == 1 || none))
    table.fault(table.has("values") ? "values" : "to", m.values.empty()
                                                           ? "no whole number between from and to"
                                                           : "one value: nothing is to be chosen");
  return m;
}

class Reader {
public:
  Reader(const std::string &path, const std::vector<std::string> &sets) : sets_(sets) {
    b_.study.path = path;
    b_.study.text = read_case_text(path);
    root_ = parse_toml(b_.study.text, path);
    log_.file = path;
    log_.text = b_.study.text;
  }

  Best read() {
    StudyTable top(log_, &root_, "");
    if (root_.contains("patient"))
      throw other_file(b_.study.path, "forefoot case", "file of what is to be chosen", "compare");
    if (root_.contains("plan"))
      throw other_file(b_.study.path, "study", "file of what is to be chosen", "study");
    read_named_case(top, b_.study, b_.base, sets_);
    if (!b_.study.case_text.empty())
      read_design(top);
    log_.end_if_faulty(); // without its case and design no key can be looked up
    read_chosen(top);
    read_uncertain(top);
    name_apart(top, b_.study, "vary");
    read_caps(top);
    read_search(top);
    top.refuse_unknown();
    check_size(top);
    log_.end_if_faulty();
    for (std::size_t j = 0; j < b_.chosen; ++j)
      b_.inputs.push_back(chosen_input(b_.study.inputs[j]));
    return b_;
  }

private:
  void read_design(StudyTable &top) {
    std::vector<std::string> others = design_names(b_.base);
    others.erase(std::remove(others.begin(), others.end(), b_.base.reference), others.end());
    const auto name = top.text("design");
    if (!name) {
      if (!top.has("design"))
        top.fault("design", "missing: the design that is to be improved").allowed = list_text(others);
      return;
    }
    if (std::find(others.begin(), others.end(), *name) == others.end()) {
      Fault &f =
          top.fault("design", *name == b_.base.reference
                                  ? "is the reference, against which it is judged; name another one, or "
                                    "another reference: set = \"reference=..\""
                                  : "no design of the case has this name");
      f.found = "\"" + printable(*name) + "\"";
      f.allowed = list_text(others);
      if (*name != b_.base.reference)
        f.propose(likely_names(*name, others));
      return;
    }
    b_.design = *name;
    b_.study.designs = {b_.base.reference, *name};
  }

  /// Its place in the case: designs[3]
  std::string design_place() const {
    const std::vector<std::string> names = design_names(b_.base);
    return "designs[" + std::to_string(std::find(names.begin(), names.end(), b_.design) - names.begin() + 1) +
           "]";
  }

  void read_chosen(StudyTable &top) {
    const auto tables = top.table_list("vary");
    if (tables.empty() && log_.faults.empty())
      top.fault("vary", "missing: nothing is to be chosen; give one [[vary]] or more with key, from and to");
    const std::string place = design_place() + ".";
    for (std::size_t i = 0; i < tables.size(); ++i) {
      StudyTable table(log_, tables[i], "vary[" + std::to_string(i + 1) + "]");
      if (read_input(table, b_.study, b_.base, read_limits))
        for (const std::string &key : b_.study.inputs.back().keys)
          if (key.compare(0, place.size(), place) != 0) {
            table.fault("key", "is no key of the design " + b_.design + ", which is to be improved").found =
                key;
            break;
          }
    }
    b_.chosen = b_.study.inputs.size();
  }

  void read_uncertain(StudyTable &top) {
    const auto tables = top.table_list("uncertain");
    for (std::size_t i = 0; i < tables.size(); ++i) {
      StudyTable table(log_, tables[i], "uncertain[" + std::to_string(i + 1) + "]");
      read_input(table, b_.study, b_.base, read_marginal);
    }
    if (!tables.empty())
      b_.doubt = Doubt::mean;
    std::vector<std::string> names(doubt_names().begin() + 1, doubt_names().end());
    if (const auto word = top.choice("doubt", names))
      b_.doubt = Doubt(1 + std::find(names.begin(), names.end(), *word) - names.begin());
    const auto draws = top.whole("draws", 2, 200);
    b_.draws = tables.empty() ? 1 : draws.value_or(8);
    for (const char *name : {"doubt", "draws"})
      if (tables.empty() && top.has(name))
        top.fault(name, "has no effect: nothing is uncertain; give [[uncertain]] with key and distribution");
  }

  void read_caps(StudyTable &top) {
    const auto tables = top.table_list("cap");
    for (std::size_t i = 0; i < tables.size(); ++i) {
      StudyTable table(log_, tables[i], "cap[" + std::to_string(i + 1) + "]");
      Cap cap;
      if (const auto output = table.choice("output", cap_outputs()))
        cap.output = *output;
      else if (!table.has("output"))
        table.fault("output", "missing: what may not become too large").allowed = list_text(cap_outputs());
      if (const toml::array *list = table.has("rays") ? table.list("rays") : nullptr) {
        for (const toml::node &item : *list)
          if (const auto r = item.value<int>(); item.is_integer() && r && *r >= 1 && *r <= 5)
            cap.rays.push_back(*r);
          else
            table.wrong_item("rays", item, "1 to 5");
      } else if (!table.has("rays")) { // strain: of the other rays
        for (int r = 1; r <= 5; ++r)
          if (r != b_.base.foot.painful_ray || !ends_with(cap.output, "_ue"))
            cap.rays.push_back(r);
      }
      cap.at_most = table.number("at_most", 1e-6, 1e9);
      cap.over_reference_pct = table.number("over_reference_pct", -99, 1000);
      if (table.has("at_most") == table.has("over_reference_pct"))
        table
            .fault(table.has("at_most") ? "at_most" : "output",
                   table.has("at_most") ? "two limits of one cap" : "nothing says how much it may be")
            .allowed = "one of: at_most, over_reference_pct";
      table.refuse_unknown();
      b_.caps.push_back(cap);
    }
  }

  void read_search(StudyTable &top) {
    Study &s = b_.study;
    s.plan = PlanKind::sobol;
    s.seed = top.whole("seed", 0, 4294967295.0).value_or(1);
    s.points = top.whole("points", 4, 10000)
                   .value_or(std::max<std::size_t>(least_sample, points_an_input * b_.chosen));
    b_.rounds = top.whole("rounds", 0, 200).value_or(10);
    b_.tolerance_pct = top.number("tolerance_pct", 0.1, 25).value_or(2);
    std::vector<std::string> allowed;
    for (const FatigueLaw &law : fatigue_laws)
      allowed.push_back(number_text(law.exponent));
    if (const auto m = top.number("exponent")) {
      const auto at = std::find_if(fatigue_laws.begin(), fatigue_laws.end(),
                                   [&](const FatigueLaw &law) { return law.exponent == *m; });
      if (at == fatigue_laws.end()) {
        Fault &f = top.fault("exponent", "no published one");
        f.found = number_text(*m);
        f.allowed = list_text(allowed);
      } else if (!b_.is_day()) {
        top.fault("exponent", "has no effect: the case has one activity");
      }
      b_.law = std::min<std::size_t>(at - fatigue_laws.begin(), n_laws - 1);
    }
    double cycles = 0;
    for (const DayActivity &a : b_.base.day)
      cycles += a.cycles();
    if (b_.is_day() && !(cycles > 0))
      top.fault("case", "a day of several activities without steps has no load cycles to add up");
  }

  void check_size(StudyTable &top) {
    if (!log_.faults.empty())
      return;
    const double candidates = 1.0 + b_.study.points + (b_.rounds + 1) * (2.0 * b_.chosen + 1),
                 runs = candidates * b_.draws * b_.base.day.size();
    if (runs > most_runs) {
      Fault &f = top.fault(top.has("draws") ? "draws" : "points", "too many runs");
      f.found = number_text(runs, 12) + " (points and rounds, times draws, times activities)";
      f.allowed = "at most " + std::to_string(most_runs);
    }
    if (b_.chosen > most_sobol_inputs)
      top.fault("vary", "too many inputs").allowed = "at most " + std::to_string(most_sobol_inputs);
  }

  Best b_;
  std::vector<std::string> sets_;
  toml::table root_;
  ReadingLog log_;
};

} // namespace

const std::vector<std::string> &doubt_names() {
  static const std::vector<std::string> names = {"none", "mean", "80th percentile"};
  return names;
}

const std::vector<std::string> &cap_outputs() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> list;
    for (const std::string &name : output_columns())
      for (const char *unit : {"_ue", "_mpa", "_kpa", "_n", "_n_mm"})
        if (ends_with(name, unit) && !contains(name, "_band_")) {
          list.push_back(name);
          break;
        }
    return list;
  }();
  return names;
}

std::string cap_words(const Cap &cap, const int ray) {
  const std::string words = spoken_name(cap.output);
  const std::size_t unit = std::min(words.find(", "), words.size());
  const bool below = cap.over_reference_pct && *cap.over_reference_pct < 0;
  return words.substr(0, unit) + " of ray " + std::to_string(ray) + (below ? " at least " : " at most ") +
         (cap.at_most ? number_text(*cap.at_most) + words.substr(std::min(unit + 1, words.size()))
                      : number_text(std::abs(*cap.over_reference_pct)) +
                            (below ? " % below the reference" : " % over the reference"));
}

Best read_best(const std::string &path, const std::vector<std::string> &sets) {
  return Reader(path, sets).read();
}

} // namespace raybend
