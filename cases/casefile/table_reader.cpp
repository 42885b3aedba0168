// Takes values out of one TOML table, each checked against its catalogue row.
#include "cases/casefile/table_reader.hpp"
#include "cases/casefile/number_words.hpp"
#include "cases/casefile/typing_slip.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace raybend {

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
    : Table(log_, table_, place_), rows(rows_) {}

const CatalogueRow &TableReader::row(const std::string &name) const {
  for (const std::string &prefix : rows)
    if (const CatalogueRow *r = find_catalogue_row(prefix.empty() ? name : prefix + "." + name))
      return *r;
  throw std::logic_error("no catalogue row for key \"" + name + "\" in \"" + rows.front() + "\"");
}

int TableReader::ray() const {
  const std::string prefix = "patient.ray";
  return place.size() == prefix.size() + 1 && place.compare(0, prefix.size(), prefix) == 0
             ? place.back() - '0'
             : 0;
}

const toml::node *TableReader::take(const std::string &name) {
  const CatalogueRow &r = row(name);
  const toml::node *value = ask(name);
  if (!value) {
    if (r.required) {
      Fault &f = fault(name, "missing");
      f.allowed = r.allowed_words();
    }
    return nullptr;
  }
  log.origins[path(name)] = log.set_keys.count(path(name)) ? "--set" : "case";
  log.lines[path(name)] = line(name);
  return value;
}

void TableReader::wrong_type(const std::string &name, const toml::node &value) {
  const CatalogueRow &r = row(name);
  Fault &f = wrong(name, value, r.allowed_words());
  if (r.type == KeyType::number || r.type == KeyType::integer)
    f.problem = value.is_string()            ? number_wanted(&r, name, trimmed(value.as_string()->get()))
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

void TableReader::members_into(const std::type_info &of, void *object) {
  for (const CatalogueRow *r : member_rows(rows.front(), of)) {
    const std::string name = r->key.substr(rows.front().size() + 1);
    if (r->type == KeyType::number) {
      if (const auto x = number(name))
        r->member.set(object, *x);
    } else if (r->type == KeyType::integer) {
      if (const auto n = integer(name))
        r->member.set(object, *n);
    } else if (r->type == KeyType::boolean) {
      if (const auto flag = boolean(name))
        r->member.set(object, *flag);
    } else if (const auto word = text(name)) {
      r->member.set(object, std::find(r->choices.begin(), r->choices.end(), *word) - r->choices.begin());
    }
  }
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

} // namespace raybend
