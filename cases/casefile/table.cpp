// One table of a file: keys, places, sub-tables, lists of tables.
#include "cases/casefile/table.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/words/words.hpp"
#include <algorithm>

namespace raybend {

namespace {
constexpr std::size_t most_in_a_list = 100; // tables; no list of a file takes as many
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

Table::Table(ReadingLog &log_, const toml::table *table_, const std::string &place_)
    : log(log_), source(table_), place(place_) {}

std::string Table::path(const std::string &name) const {
  return place.empty() ? name : name.empty() ? place : place + "." + name;
}

bool Table::has(const std::string &name) const {
  return node(name) != nullptr;
}

int Table::line(const std::string &name) const {
  if (!source)
    return 1;
  for (const auto &[key, value] : *source)
    if (key.str() == name)
      return static_cast<int>(key.source().begin.line);
  return std::max(1, static_cast<int>(source->source().begin.line));
}

Fault &Table::fault(const std::string &name, const std::string &problem) {
  return log.fault(path(name), line(name), problem);
}

const toml::node *Table::node(const std::string &name) const {
  return source ? source->get(name) : nullptr;
}

const toml::node *Table::ask(const std::string &name) {
  asked.push_back(name);
  const toml::node *value = node(name);
  if (value)
    log.taken.insert(path(name));
  return value;
}

Fault &Table::wrong(const std::string &name, const toml::node &value, const std::string &allowed) {
  Fault &f = fault(name, "");
  f.found = found_words(value);
  f.allowed = allowed;
  return f;
}

bool Table::is_list(const std::string &name) const {
  const toml::node *value = node(name);
  return value && value->is_array();
}

bool Table::is_word(const std::string &name, const std::string &word) {
  const toml::node *value = node(name);
  const bool is = value && value->is_string() && value->as_string()->get() == word;
  if (is)
    ask(name);
  return is;
}

const toml::table *Table::sub_table(const std::string &name) {
  const toml::node *value = ask(name);
  if (!value)
    return nullptr;
  if (const toml::table *t = value->as_table())
    return t;
  Fault &f = fault(name, "a table is wanted: a line [" + path(name) + "] with its keys below");
  f.found = found_words(*value);
  return nullptr;
}

std::vector<const toml::table *> Table::table_list(const std::string &name) {
  std::vector<const toml::table *> out;
  const toml::node *value = ask(name);
  if (!value)
    return out;
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
  if (list->size() > most_in_a_list) {
    Fault &f = fault(name, "too many");
    f.found = std::to_string(list->size());
    f.allowed = "at most " + std::to_string(most_in_a_list) + " in a list";
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
