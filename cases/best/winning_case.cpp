// TOML of a design, and of a whole case.
#include "cases/best/winning_case.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/overrides.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/forefoot/shared_parts.hpp"
#include "cases/study/plan/input_reader.hpp"
#include "cases/words/words.hpp"
#include "postprocess/best/best_report.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <filesystem>

namespace raybend {

namespace {

std::string value_text(const toml::node &node) {
  if (const auto *text = node.as_string())
    return quoted(text->get());
  if (const auto *flag = node.as_boolean())
    return flag->get() ? "true" : "false";
  if (const auto *whole = node.as_integer())
    return std::to_string(whole->get());
  if (const auto *number = node.as_floating_point())
    return exact(number->get());
  std::string text;
  if (const auto *list = node.as_array()) {
    for (const toml::node &item : *list)
      text += (text.empty() ? "" : ", ") + value_text(item);
    return "[" + text + "]";
  }
  if (const auto *table = node.as_table()) {
    for (const auto &[key, value] : *table)
      text += (text.empty() ? "" : ", ") + std::string(key.str()) + " = " + value_text(value);
    return "{" + text + "}";
  }
  throw std::logic_error("a kind of value that no case has");
}

bool is_list_of_tables(const toml::node &node) {
  return node.is_array_of_tables() && !node.as_array()->empty();
}

/// The table's own keys, what it is called first, then the tables in it, each with the heading that `place` begins.
std::string table_text(const toml::table &table, const std::string &place) {
  std::vector<std::string> keys;
  for (const auto &[key, value] : table)
    keys.emplace_back(key.str());
  for (const char *first : {"material", "kind", "role", "title", "name"})
    std::stable_partition(keys.begin(), keys.end(), [&](const std::string &k) { return k == first; });
  std::string own, below;
  for (const std::string &key : keys) {
    const toml::node &value = *table.get(key);
    const std::string there = place.empty() ? key : place + "." + key;
    if (is_list_of_tables(value))
      for (const toml::node &item : *value.as_array())
        below += "\n[[" + there + "]]\n" + table_text(*item.as_table(), there);
    else if (value.is_table())
      below += "\n[" + there + "]\n" + table_text(*value.as_table(), there);
    else
      own += key + " = " + value_text(value) + "\n";
  }
  return own + below;
}

std::string as_comment(const std::string &text) {
  return "# " + wrapped(one_line(text), 110, "# ") + "\n";
}

} // namespace

WinningCase winning_case(const Best &best, const std::vector<double> &place) {
  const Study &s = best.study;
  std::vector<std::string> sets = s.sets;
  for (std::size_t j = 0; j < best.chosen; ++j)
    for (const std::string &key : s.inputs[j].keys)
      sets.push_back(key + "=" + s.inputs[j].marginal.text(place[j]));
  toml::table root = parse_toml(s.case_text, s.case_path);
  ReadingLog log;
  log.file = s.case_path;
  log.text = s.case_text;
  write_out_shared(root, log);
  apply_overrides(root, sets, log);
  std::string head = as_comment("The design that `raybend best` found for " + best.design + ": " +
                                place_words(best.inputs, place) + ".");
  if (!s.sets.empty())
    head += as_comment("It was sought with these changes of the case: " + list_of(s.sets) + ".");

  const std::vector<std::string> names = design_names(best.base);
  WinningCase winner;
  winner.name = best.design + "-best";
  for (int n = 2; std::count(names.begin(), names.end(), winner.name) > 0; ++n)
    winner.name = best.design + "-best-" + std::to_string(n);
  const std::size_t at = std::find(names.begin(), names.end(), best.design) - names.begin();
  toml::table design = *root["designs"].as_array()->get(at)->as_table();
  design.insert_or_assign("name", winner.name);
  design.insert_or_assign("title", best.design + ", " + place_words(best.inputs, place));
  winner.text = head + "\n" + s.case_text + "\n# ---- the design that was found\n[[designs]]\n" +
                table_text(design, "designs");
  const auto check = [&] {
    // as if beside the case it comes from: a course's file is looked for there
    const auto beside = std::filesystem::path(s.case_path).parent_path() / (case_stem(s.path) + "-case.toml");
    const Case read = read_case_from_text(winner.text, beside.string(), {}, {1, true});
    const std::vector<std::string> there = design_names(read);
    const std::string key =
        "designs[" + std::to_string(std::find(there.begin(), there.end(), winner.name) - there.begin() + 1) +
        "]";
    for (const std::string &warning : read.warnings)
      if (contains(warning, key))
        winner.warnings.push_back(warning);
  };
  try {
    check();
  } catch (const CaseError &) {
    winner.name = best.design;
    winner.text = head + "\n" + table_text(root, "");
    check();
  }
  return winner;
}

} // namespace raybend
