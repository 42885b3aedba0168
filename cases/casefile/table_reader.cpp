#include "cases/casefile/table_reader.hpp"
#include "cases/casefile/number_words.hpp"
#include "cases/casefile/typing_slip.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <sstream>
#include <stdexcept>

namespace raybend {

Fault &ReadingLog::fault(const std::string &key, const int line, const std::string &problem) {
  Fault f;
  f.file = file;
  f.line = line;
  f.key = key;
  f.problem = problem;
  f.from_set = set_keys.count(key) > 0;
  faults.push_back(f);
  return faults.back();
}

void ReadingLog::warn(const std::string &key, const int line, const std::string &words) {
  Fault f;
  f.file = file;
  f.line = line;
  f.key = key;
  f.problem = words;
  f.from_set = set_keys.count(key) > 0;
  warnings.push_back(f.message());
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

std::string found_words(const toml::node &value) {
  if (value.is_table())
    return "a table";
  if (value.is_array())
    return value.as_array()->empty() ? "an empty list" : "a list";
  if (const auto *s = value.as_string())
    return "\"" + printable(s->get()) + "\"";
  if (const auto *b = value.as_boolean())
    return b->get() ? "true" : "false";
  if (const auto *f = value.as_floating_point())
    return number_text(f->get());
  if (const auto *i = value.as_integer())
    return std::to_string(i->get());
  return "a date or time";
}

namespace {

/// Of a number written like a thousand with a point between its digits: words that say so, else "".
std::string thousands_words(const CatalogueRow &row, const int ray, const std::string &written) {
  const std::string thousands = thousands_of(row, ray, written, '.');
  return thousands.empty()
             ? ""
             : written + " is read with a decimal point; of " + thousands + " write " + thousands;
}

} // namespace

TableReader::TableReader(ReadingLog &log_, const toml::table *table_, const std::string &place_,
                         const std::vector<std::string> &rows_)
    : log(log_), table(table_), place(place_), rows(rows_) {}

std::string TableReader::path(const std::string &name) const {
  return place.empty() ? name : place + "." + name;
}

const CatalogueRow &TableReader::row(const std::string &name) const {
  for (const std::string &prefix : rows)
    if (const CatalogueRow *r = find_catalogue_row(prefix.empty() ? name : prefix + "." + name))
      return *r;
  throw std::logic_error("no catalogue row for key \"" + name + "\" in \"" + rows.front() + "\"");
}

const toml::node *TableReader::node(const std::string &name) const {
  return table ? table->get(name) : nullptr;
}

bool TableReader::has(const std::string &name) const {
  return node(name) != nullptr;
}

int TableReader::line(const std::string &name) const {
  if (!table)
    return 1;
  for (const auto &[key, value] : *table)
    if (key.str() == name)
      return static_cast<int>(key.source().begin.line);
  return static_cast<int>(table->source().begin.line);
}

int TableReader::ray() const {
  const std::string prefix = "patient.ray";
  return place.size() == prefix.size() + 1 && place.compare(0, prefix.size(), prefix) == 0
             ? place.back() - '0'
             : 0;
}

Fault &TableReader::fault(const std::string &name, const std::string &problem) {
  return log.fault(path(name), line(name), problem);
}

const toml::node *TableReader::take(const std::string &name) {
  const CatalogueRow &r = row(name);
  const toml::node *value = node(name);
  if (!value) {
    if (r.required) {
      Fault &f = fault(name, "missing");
      f.allowed = r.allowed_words();
    }
    return nullptr;
  }
  log.taken.insert(path(name));
  log.origins[path(name)] = log.set_keys.count(path(name)) ? "--set" : "case";
  log.lines[path(name)] = line(name);
  return value;
}

void TableReader::wrong_type(const std::string &name, const toml::node &value) {
  const CatalogueRow &r = row(name);
  Fault &f = fault(name, "");
  f.found = found_words(value);
  f.allowed = r.allowed_words();
  if (r.type == KeyType::number || r.type == KeyType::integer)
    f.problem = value.is_string()            ? number_wanted(&r, name, trimmed(value.as_string()->get()),
                                                  f.from_set ? "" : ", without quotes")
                : r.type == KeyType::integer ? "one whole number is wanted"
                                             : "a number is wanted";
}

std::optional<double> TableReader::number(const std::string &name) {
  const CatalogueRow &r = row(name);
  const toml::node *value = take(name);
  if (!value)
    return {};
  if (!value->is_number()) {
    wrong_type(name, *value);
    return {};
  }
  const double x = value->is_integer() ? static_cast<double>(value->as_integer()->get())
                                       : value->as_floating_point()->get();
  if (!std::isfinite(x)) {
    Fault &f = fault(name, "not a finite number");
    f.found = found_words(*value);
    f.allowed = r.allowed_words();
    return {};
  }
  if (!r.allowed.holds(x)) {
    Fault &f = fault(name, "out of range");
    f.found = number_text(x, 10);
    f.allowed = r.allowed_words();
    f.hint = in_unit_of_key(r, x, ray());
    if (const std::string words = thousands_words(r, ray(), log.as_written(path(name), *value));
        f.hint.empty() && !words.empty())
      f.hint = words;
    return {};
  }
  if (const Range *usual = r.published_for(ray()); usual && !usual->holds(x)) {
    const std::string hint = in_unit_of_key(r, x, ray()), source = r.source_of_usual();
    log.warn(path(name), line(name),
             number_text(x, 10) + (r.unit.empty() ? "" : " " + r.unit) + " lies outside the usual range " +
                 number_text(usual->low) + " to " + number_text(usual->high) +
                 (source.empty() ? "" : " (" + source + ")") + (hint.empty() ? "" : "; " + hint));
  }
  if (const std::string words = thousands_words(r, ray(), log.as_written(path(name), *value)); !words.empty())
    log.warn(path(name), line(name), words);
  return x;
}

double TableReader::number_or_default(const std::string &name, const int ray_number) {
  if (has(name))
    return number(name).value_or(std::numeric_limits<double>::quiet_NaN());
  return row(name).number(ray_number);
}

void TableReader::number_into(const std::string &name, double &value) {
  if (const auto given = number(name))
    value = *given;
}

std::optional<int> TableReader::integer(const std::string &name) {
  const toml::node *value = node(name);
  const auto x = number(name);
  if (!x)
    return {};
  if (*x != std::floor(*x)) {
    Fault &f = fault(name, "a whole number is wanted");
    f.found = found_words(*value);
    f.allowed = row(name).allowed_words();
    return {};
  }
  return static_cast<int>(*x);
}

bool TableReader::check_choice(const std::string &name, const std::string &value) {
  const CatalogueRow &r = row(name);
  if (std::find(r.choices.begin(), r.choices.end(), value) != r.choices.end())
    return true;
  Fault &f = fault(name, "");
  f.found = "\"" + printable(value) + "\"";
  f.allowed = r.allowed_words();
  if (r.type == KeyType::choice_list && contains(value, ","))
    f.hint = "each word has its own quotes: write " + name + " = " + list_written(value);
  else if (contains(value, ","))
    f.hint = "one word is wanted, not several";
  else
    f.propose(likely_names(value, r.choices));
  return false;
}

std::optional<std::string> TableReader::text(const std::string &name) {
  const toml::node *value = take(name);
  if (!value)
    return {};
  const auto *s = value->as_string();
  if (!s) {
    wrong_type(name, *value);
    return {};
  }
  if (row(name).type == KeyType::choice && !check_choice(name, s->get()))
    return {};
  return s->get();
}

std::optional<std::string> TableReader::label(const std::string &name, const std::string &what) {
  const auto given = text(name);
  const char *const letters = "abcdefghijklmnopqrstuvwxyz0123456789-";
  if (!given ||
      (!given->empty() && given->size() <= 40 && given->find_first_not_of(letters) == std::string::npos))
    return given;
  Fault &f = fault(name, "not " + what);
  f.found = "\"" + printable(*given) + "\"";
  f.allowed = row(name).allowed_words();
  std::string plain;
  for (const char c : *given)
    plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c == ' ' || c == '_' ? '-' : c;
  if (!plain.empty() && plain.size() <= 40 && plain.find_first_not_of(letters) == std::string::npos)
    f.hint = "write " + name + " = \"" + plain + "\"";
  return given;
}

std::optional<std::vector<std::string>> TableReader::choice_list(const std::string &name) {
  const toml::node *value = take(name);
  if (!value)
    return {};
  std::vector<std::string> out;
  const auto add = [&](const toml::node &item) {
    const auto *s = item.as_string();
    if (!s)
      wrong_type(name, item);
    else if (check_choice(name, s->get()))
      out.push_back(s->get());
  };
  if (const auto *list = value->as_array())
    for (const toml::node &item : *list)
      add(item);
  else
    add(*value);
  return out;
}

std::optional<bool> TableReader::boolean(const std::string &name) {
  const toml::node *value = take(name);
  if (!value)
    return {};
  if (const auto *b = value->as_boolean())
    return b->get();
  wrong_type(name, *value);
  return {};
}

const toml::table *TableReader::sub_table(const std::string &name) {
  const toml::node *value = node(name);
  if (!value)
    return nullptr;
  log.taken.insert(path(name));
  if (const toml::table *t = value->as_table())
    return t;
  Fault &f = fault(name, "a table is wanted: a line [" + path(name) + "] with its keys below");
  f.found = found_words(*value);
  return nullptr;
}

bool TableReader::is_list(const std::string &name) const {
  const toml::node *value = node(name);
  return value && value->is_array();
}

bool TableReader::is_word(const std::string &name, const std::string &word) {
  const toml::node *value = node(name);
  const bool is = value && value->is_string() && value->as_string()->get() == word;
  if (is)
    log.taken.insert(path(name));
  return is;
}

std::vector<const toml::table *> TableReader::table_list(const std::string &name) {
  std::vector<const toml::table *> out;
  const toml::node *value = node(name);
  if (!value)
    return out;
  log.taken.insert(path(name));
  std::string plain = general_key(path(name));
  plain.erase(std::remove_if(plain.begin(), plain.end(), [](char c) { return c == '[' || c == ']'; }),
              plain.end());
  const std::string wanted =
      "a list of tables is wanted: a line [[" + plain + "]] before each, with its keys below";
  const toml::array *list = value->as_array();
  if (!list) {
    Fault &f = fault(name, wanted);
    f.found = value->is_table() ? "one table, in single brackets" : found_words(*value);
    return out;
  }
  for (const toml::node &item : *list)
    if (const toml::table *t = item.as_table())
      out.push_back(t);
    else {
      Fault &f = fault(name, wanted);
      f.found = found_words(item) + " in the list";
      return {};
    }
  return out;
}

} // namespace raybend
