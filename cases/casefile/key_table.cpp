#include "cases/casefile/key_table.hpp"
#include "cases/words/words.hpp"
#include "postprocess/text/number_text.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

KeyTable::KeyTable(ReadingLog &log, const toml::table *table, std::string place)
    : log_(log), table_(table), place_(std::move(place)) {}

bool KeyTable::has(const std::string &name) const {
  return table_ && table_->get(name);
}

std::string KeyTable::path(const std::string &name) const {
  return place_.empty() ? name : name.empty() ? place_ : place_ + "." + name;
}

int KeyTable::line(const std::string &name) const {
  if (!table_)
    return 1;
  for (const auto &[key, value] : *table_)
    if (key.str() == name)
      return static_cast<int>(key.source().begin.line);
  return std::max(1, static_cast<int>(table_->source().begin.line));
}

Fault &KeyTable::fault(const std::string &name, const std::string &problem) {
  return log_.fault(path(name), line(name), problem);
}

const toml::node *KeyTable::take(const std::string &name, Need need, const std::string &allowed) {
  known_.push_back(name);
  const toml::node *node = table_ ? table_->get(name) : nullptr;
  if (!node && need == Need::must)
    fault(name, "missing").allowed = allowed;
  return node;
}

void KeyTable::wrong(const std::string &name, const toml::node &node, const std::string &allowed) {
  Fault &f = fault(name, "");
  f.found = found_words(node);
  f.allowed = allowed;
}

std::string KeyTable::text(const std::string &name, Need need) {
  const toml::node *node = take(name, need, "text in quotes");
  if (!node)
    return "";
  if (const auto *s = node->as_string())
    return s->get();
  wrong(name, *node, "text in quotes");
  return "";
}

std::string KeyTable::choice(const std::string &name, const std::vector<std::string> &choices, Need need) {
  const std::string allowed = list_text(choices);
  const toml::node *node = take(name, need, allowed);
  if (!node)
    return choices.front();
  const auto *s = node->as_string();
  if (s && std::find(choices.begin(), choices.end(), s->get()) != choices.end())
    return s->get();
  Fault &f = fault(name, "");
  f.found = found_words(*node);
  f.allowed = allowed;
  if (s)
    f.nearest = nearest_name(s->get(), choices);
  return choices.front();
}

bool KeyTable::flag(const std::string &name, bool otherwise) {
  const toml::node *node = take(name, Need::may, "true or false");
  if (!node)
    return otherwise;
  if (const auto *b = node->as_boolean())
    return b->get();
  wrong(name, *node, "true or false");
  return otherwise;
}

Entry KeyTable::entry(const toml::node &node, const std::string &name, const std::string &key, bool &good) {
  Entry e;
  e.line = std::max(line(name), static_cast<int>(node.source().begin.line));
  e.key = key;
  good = true;
  if (const auto *s = node.as_string())
    e.text = s->get();
  else if (const auto *i = node.as_integer())
    e.text = std::to_string(i->get());
  else if (const auto *f = node.as_floating_point(); f && std::isfinite(f->get()))
    e.text = exact(f->get());
  else
    good = false;
  return e;
}

Entry KeyTable::formula(const std::string &name, Need need) {
  const char *allowed = "a number, or a formula in quotes";
  const toml::node *node = take(name, need, allowed);
  if (!node)
    return {};
  bool good = false;
  const Entry e = entry(*node, name, path(name), good);
  if (good)
    return e;
  wrong(name, *node, allowed);
  return {};
}

Entry KeyTable::formula_or(const std::string &name, const std::string &otherwise) {
  Entry e = formula(name, Need::may);
  if (!e.given())
    e = {otherwise, line(name), path(name)};
  return e;
}

std::vector<Entry> KeyTable::formulas(const std::string &name, Need need) {
  const char *allowed = "a list of numbers or formulas in quotes";
  const toml::node *node = take(name, need, allowed);
  if (!node)
    return {};
  std::vector<Entry> list;
  if (const auto *array = node->as_array()) {
    for (const auto &item : *array) {
      bool good = false;
      list.push_back(entry(item, name, path(name) + "[" + std::to_string(list.size() + 1) + "]", good));
      if (!good) {
        wrong(name, item, allowed);
        return {};
      }
    }
    return list;
  }
  wrong(name, *node, allowed);
  return {};
}

Entry3 KeyTable::three(const std::string &name, Need need) {
  const std::size_t faults = log_.faults.size();
  const std::vector<Entry> list = formulas(name, need);
  if (list.size() == 3)
    return {list[0], list[1], list[2]};
  if (has(name) && log_.faults.size() == faults) {
    Fault &f = fault(name, "");
    f.found = std::to_string(list.size()) + " values";
    f.allowed = "a list of three: [x, y, z]";
  }
  return {};
}

std::vector<std::string> KeyTable::texts(const std::string &name, Need need) {
  const char *allowed = "text in quotes, or a list of them";
  const toml::node *node = take(name, need, allowed);
  if (!node)
    return {};
  if (const auto *s = node->as_string())
    return {s->get()};
  std::vector<std::string> list;
  if (const auto *array = node->as_array())
    for (const auto &item : *array) {
      const auto *s = item.as_string();
      if (!s) {
        wrong(name, item, allowed);
        return {};
      }
      list.push_back(s->get());
    }
  else
    wrong(name, *node, allowed);
  return list;
}

KeyTable KeyTable::table(const std::string &name) {
  const toml::node *node = take(name, Need::may, "");
  if (node && !node->is_table()) {
    wrong(name, *node, "a table: [" + path(name) + "]");
    node = nullptr;
  }
  return KeyTable(log_, node ? node->as_table() : nullptr, path(name));
}

std::vector<KeyTable> KeyTable::tables(const std::string &name) {
  const toml::node *node = take(name, Need::may, "");
  std::vector<KeyTable> list;
  if (!node)
    return list;
  const auto *array = node->as_array();
  bool good = array != nullptr;
  if (array)
    for (const auto &item : *array)
      good &= item.is_table();
  if (!good) {
    wrong(name, *node, "a list of tables: [[" + path(name) + "]]");
    return list;
  }
  for (const auto &item : *array)
    list.emplace_back(log_, item.as_table(), path(name) + "[" + std::to_string(list.size() + 1) + "]");
  return list;
}

std::vector<Entry> KeyTable::definitions() {
  std::vector<std::pair<int, Entry>> list;
  if (table_)
    for (const auto &[key, node] : *table_) {
      const std::string name(key.str());
      if (std::find(known_.begin(), known_.end(), name) != known_.end())
        continue;
      bool good = false;
      Entry e = entry(node, name, path(name), good);
      known_.push_back(name);
      if (!good)
        wrong(name, node, "a number, or a formula in quotes");
      else
        list.emplace_back(key.source().begin.line * 1000 + key.source().begin.column, e);
    }
  std::stable_sort(list.begin(), list.end(), [](const auto &a, const auto &b) { return a.first < b.first; });
  std::vector<Entry> entries;
  for (const auto &[place, e] : list)
    entries.push_back(e);
  return entries;
}

void KeyTable::refuse_unknown() {
  if (!table_)
    return;
  for (const auto &[key, node] : *table_) {
    const std::string name(key.str());
    if (std::find(known_.begin(), known_.end(), name) != known_.end())
      continue;
    Fault &f = log_.fault(path(printable(name)), static_cast<int>(key.source().begin.line), "unknown key");
    f.nearest = nearest_name(name, known_);
    if (f.nearest.empty()) {
      std::vector<std::string> sorted = known_;
      std::sort(sorted.begin(), sorted.end());
      f.allowed = list_text(sorted);
    }
  }
}

} // namespace raybend
