// Keys of a textbook case file, numbers as formulas.
#include "cases/lab/key_table.hpp"
#include "cases/words/words.hpp"
#include "postprocess/text/number_text.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

const toml::node *KeyTable::take(const std::string &name, Need need, const std::string &allowed) {
  const toml::node *node = ask(name);
  if (!node && need == Need::must)
    fault(name, "missing").allowed = allowed;
  return node;
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
  Fault &f = wrong(name, *node, allowed);
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
  const std::size_t faults = log.faults.size();
  const std::vector<Entry> list = formulas(name, need);
  if (list.size() == 3)
    return {list[0], list[1], list[2]};
  if (has(name) && log.faults.size() == faults) {
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
  return KeyTable(log, sub_table(name), path(name));
}

std::vector<KeyTable> KeyTable::tables(const std::string &name) {
  std::vector<KeyTable> list;
  for (const toml::table *each : table_list(name))
    list.emplace_back(log, each, path(name) + "[" + std::to_string(list.size() + 1) + "]");
  return list;
}

std::vector<Entry> KeyTable::definitions() {
  std::vector<std::pair<int, Entry>> list;
  if (source)
    for (const auto &[key, node] : *source) {
      const std::string name(key.str());
      if (std::find(asked.begin(), asked.end(), name) != asked.end())
        continue;
      bool good = false;
      Entry e = entry(node, name, path(name), good);
      asked.push_back(name);
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
  if (!source)
    return;
  for (const auto &[key, node] : *source) {
    const std::string name(key.str());
    if (std::find(asked.begin(), asked.end(), name) != asked.end())
      continue;
    Fault &f = log.fault(path(printable(name)), static_cast<int>(key.source().begin.line), "unknown key");
    f.nearest = nearest_name(name, asked);
    if (f.nearest.empty()) {
      std::vector<std::string> sorted = asked;
      std::sort(sorted.begin(), sorted.end());
      f.allowed = list_text(sorted);
    }
  }
}

} // namespace raybend
