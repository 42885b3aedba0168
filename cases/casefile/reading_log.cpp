// What is collected while a file is read: faults, warnings, where each value comes from.
#include "cases/casefile/reading_log.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <sstream>
#include <stdexcept>

namespace raybend {

Fault ReadingLog::at(const std::string &key, const int line, const std::string &problem) const {
  Fault f;
  f.file = file;
  f.line = line;
  f.key = key;
  f.problem = problem;
  f.from_set = set_keys.count(key) > 0;
  return f;
}

Fault &ReadingLog::fault(const std::string &key, const int line, const std::string &problem) {
  faults.push_back(at(key, line, problem));
  return faults.back();
}

void ReadingLog::warn(const std::string &key, const int line, const std::string &words) {
  warnings.push_back(at(key, line, words).message());
}

void ReadingLog::warn(const std::string &key, const std::string &words) {
  const auto found = lines.find(key);
  warn(key, found == lines.end() ? 0 : found->second, words);
}

void ReadingLog::derive(const std::string &key, const std::string &cause) {
  const auto given = origins.find(cause);
  if (given == origins.end())
    throw std::logic_error("\"" + key + "\" cannot follow from \"" + cause + "\", which is not given");
  origins.emplace(key, given->second + ", " + cause.substr(cause.find_last_of('.') + 1));
}

Fault &ReadingLog::fault_of(const std::vector<std::string> &keys, const std::string &problem) {
  std::string key = keys.front();
  int line = lines.count("patient.body_mass_kg") ? lines.at("patient.body_mass_kg") : 1;
  for (auto k = keys.rbegin(); k != keys.rend(); ++k)
    if (const auto it = lines.find(*k); it != lines.end()) {
      key = *k;
      line = it->second;
    }
  return blamed.insert(key).second ? fault(key, line, problem) : dropped;
}

void ReadingLog::end_if_faulty() {
  tidy();
  if (!faults.empty())
    throw CaseError(faults);
}

void ReadingLog::tidy() {
  const auto table_of = [](const std::string &key) { return key.substr(0, key.find_last_of('.') + 1); };
  std::set<std::string> meant; // keys that misspelt ones stand for
  for (const Fault &f : faults)
    if (const std::string name = f.nearest.empty() ? f.stands_for : f.nearest;
        f.problem.compare(0, 11, "unknown key") == 0 && !name.empty()) {
      meant.insert(table_of(f.key) + name);
      if (name == "e_mpa" || name == "shore_a" || name == "material")
        for (const char *key : {"material", "nu", "law", "relative_density", "gas_pressure_mpa"})
          meant.insert(table_of(f.key) + key);
    }
  const auto follows = [&meant](const Fault &f) {
    const auto begins = [&f](const std::string &words) {
      return f.problem.compare(0, words.size(), words) == 0;
    };
    if (meant.count(f.key))
      return begins("missing") || begins("stands beside") || begins("no layer of");
    return begins("missing") && std::any_of(meant.begin(), meant.end(), [&f](const std::string &table) {
             return f.key.compare(0, table.size() + 1, table + ".") == 0;
           });
  };
  faults.erase(std::remove_if(faults.begin(), faults.end(), follows), faults.end());
  // A part that several designs share is wrong in all of them: told of the first.
  std::vector<Fault> told;
  for (const Fault &f : faults) {
    const bool of_shared = f.line > 0 && shared.count(f.key.substr(0, f.key.find('.'))) > 0;
    if (!of_shared || std::none_of(told.begin(), told.end(), [&f](const Fault &other) {
          return other.line == f.line && other.problem == f.problem && other.found == f.found;
        }))
      told.push_back(f);
  }
  faults = told;
  std::stable_sort(faults.begin(), faults.end(),
                   [](const Fault &a, const Fault &b) { return a.line < b.line; });
}

std::string ReadingLog::as_written(const std::string &key, const toml::node &value) const {
  if (const auto set = set_values.find(key); set != set_values.end())
    return set->second;
  std::istringstream lines_of_text(text);
  std::string words;
  for (toml::source_index n = 0; n < value.source().begin.line; ++n)
    if (!std::getline(lines_of_text, words))
      return "";
  std::size_t first = 0; // byte of the character where the value begins
  for (toml::source_index column = 1; first < words.size(); ++first) {
    if ((static_cast<unsigned char>(words[first]) & 0xc0) == 0x80)
      continue;
    if (column++ == value.source().begin.column)
      break;
  }
  const std::size_t end = words.find_first_of(" \t,]}#\r", first);
  return first < words.size() ? words.substr(first, end - first) : "";
}

} // namespace raybend
