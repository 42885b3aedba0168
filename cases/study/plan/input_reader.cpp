// The case that a study's file names, and its inputs, looked up in the catalogue.
#include "cases/study/plan/input_reader.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/study/plan/key_address.hpp"
#include "cases/study/study_columns.hpp"
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

/// The value that the case has there; nothing where it does not say.
std::optional<double> number_in_case(const Case &base, const std::string &key, const CatalogueRow &row) {
  for (const Case::Resolved &r : base.resolved)
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

} // namespace

void read_named_case(StudyTable &top, Study &study, Case &base, const std::vector<std::string> &sets) {
  namespace fs = std::filesystem;
  study.title = top.text("title").value_or(case_stem(study.path));
  study.sets = top.texts("set");
  study.sets.insert(study.sets.end(), sets.begin(), sets.end());
  const auto file = top.text("case");
  if (!file) {
    if (!top.has("case"))
      top.fault("case", "missing: the case file, seen from the study's folder");
    return;
  }
  study.case_path = fs::path(*file).is_absolute()
                        ? *file
                        : (fs::path(study.path).parent_path() / *file).lexically_normal().string();
  if (!fs::exists(study.case_path)) {
    top.fault("case", "no such file").found = "\"" + printable(*file, 200) + "\"";
    return;
  }
  study.case_text = read_case_text(study.case_path);
  base = read_case_from_text(study.case_text, study.case_path, study.sets, {1, true});
}

bool read_input(StudyTable &table, Study &study, const Case &base, const VariationReader &variation) {
  Varied input;
  const CatalogueRow *row = nullptr;
  for (const std::string &address : table.texts("key")) {
    const KeyAddress found = find_key(address, study.case_text, study.case_path, study.sets);
    relay(table, "key", found.faults, address);
    if (!found.faults.empty())
      return false;
    if (row && row->allowed_words() != found.row->allowed_words()) {
      table.fault("key", "the keys of one input take the same values; these allow different ones");
      return false;
    }
    row = found.row;
    input.keys.insert(input.keys.end(), found.keys.begin(), found.keys.end());
    input.name = simple_name(address.substr(address.find_last_of('.') + 1));
  }
  if (!row) {
    if (!table.has("key"))
      table.fault("key", "missing: an address as --set takes it, or with designs[] for all designs");
    return false;
  }
  if (row->type == KeyType::choice_list || row->key == "title" || row->key == "note" ||
      row->key == "question" || row->key == "designs[].name" || row->key == "designs[].title") {
    table.fault("key", "cannot be varied").found = input.keys.front();
    return false;
  }
  if (const auto name = table.text("name")) { // it ends in its key's unit
    const std::string unit = input.name.substr(without_unit(input.name).size());
    input.name = simple_name(*name);
    if (without_unit(input.name) == input.name)
      input.name += unit;
  }
  input.marginal = variation(table, input.keys.front(), *row, number_in_case(base, input.keys.front(), *row));
  table.refuse_unknown();
  input.row = row;
  for (const Varied &other : study.inputs)
    for (const std::string &key : other.keys)
      if (std::find(input.keys.begin(), input.keys.end(), key) != input.keys.end())
        table.fault("key", key + " is varied already").found = "\"" + other.name + "\"";
  study.inputs.push_back(input);
  return true;
}

std::optional<double> value_in_case(const Varied &input, const Case &base) {
  const Marginal &m = input.marginal;
  const std::string &key = input.keys.front();
  if (m.is_number())
    return number_in_case(base, key, *input.row);
  for (const Case::Resolved &r : base.resolved)
    if (r.key == key)
      for (std::size_t i = 0; i < m.words.size(); ++i)
        if (m.words[i] == r.value)
          return i;
  return {};
}

void name_apart(StudyTable &top, Study &study, const std::string &at) {
  std::set<std::string> taken(store_columns().begin(), store_columns().end());
  for (Varied &input : study.inputs) {
    if (taken.count(input.name))
      input.name = simple_name(input.keys.front());
    if (!taken.insert(input.name).second)
      top.fault(at, "two columns would have one name; give each a name = ..").found = input.name;
  }
}

std::vector<std::string> design_names(const Case &base) {
  std::vector<std::string> names;
  for (const Design &d : base.designs)
    names.push_back(d.name);
  return names;
}

} // namespace raybend
