// One table of a study file: its keys taken out one by one, the rest refused.
#pragma once
#include "cases/casefile/table.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <optional>

namespace raybend {

/// What is not as wanted is a fault and comes back empty. Every key asked for counts as known.
class StudyTable : public Table {
public:
  using Table::Table;

  std::optional<double> number(const std::string &name, const double low, const double high) {
    const toml::node *value = ask(name);
    if (!value)
      return {};
    const std::string allowed = number_text(low) + " to " + number_text(high);
    const auto x = value->is_number() ? value->value<double>() : std::nullopt;
    if (x && *x >= low && *x <= high)
      return x;
    wrong(name, *value, "a number, " + allowed);
    return {};
  }
  /// A number of any size.
  std::optional<double> number(const std::string &name) {
    const toml::node *value = ask(name);
    if (value && value->is_number() && std::isfinite(*value->value<double>()))
      return value->value<double>();
    if (value)
      wrong(name, *value, "a number");
    return {};
  }
  std::optional<std::size_t> whole(const std::string &name, const double low, const double high) {
    const auto x = number(name, low, high);
    if (x && *x != std::floor(*x)) {
      wrong(name, *ask(name), "a whole number");
      return {};
    }
    return x ? std::optional<std::size_t>(*x) : std::nullopt;
  }
  std::optional<std::string> text(const std::string &name) {
    const toml::node *value = ask(name);
    if (value && value->is_string() && !value->as_string()->get().empty())
      return value->as_string()->get();
    if (value)
      wrong(name, *value, "text in quotes");
    return {};
  }
  std::optional<std::string> choice(const std::string &name, const std::vector<std::string> &choices) {
    const auto word = text(name);
    if (!word || std::find(choices.begin(), choices.end(), *word) != choices.end())
      return word;
    Fault &f = wrong(name, *ask(name), list_text(choices));
    f.propose(likely_names(*word, choices));
    return {};
  }
  /// One text or a list of them.
  std::vector<std::string> texts(const std::string &name) {
    std::vector<std::string> list;
    const toml::node *value = ask(name);
    const auto add = [&](const toml::node &item) {
      if (item.is_string() && !item.as_string()->get().empty())
        list.push_back(item.as_string()->get());
      else
        wrong(name, item, "text in quotes, or a list of such");
    };
    if (value && value->is_array() && !value->as_array()->empty())
      for (const toml::node &item : *value->as_array())
        add(item);
    else if (value)
      add(*value);
    return list;
  }
  /// The nodes of a list.
  const toml::array *list(const std::string &name) {
    const toml::node *value = ask(name);
    if (value && value->is_array() && !value->as_array()->empty())
      return value->as_array();
    if (value)
      wrong(name, *value, "a list with one value or more");
    return nullptr;
  }
  Fault &wrong_item(const std::string &name, const toml::node &item, const std::string &allowed) {
    return wrong(name, item, allowed);
  }
  /// Names that may stand here though nobody reads them.
  void know(const std::vector<std::string> &names) { asked.insert(asked.end(), names.begin(), names.end()); }
  void refuse_unknown() {
    if (!source)
      return;
    for (const auto &[key, value] : *source) {
      const std::string name(key.str());
      if (std::find(asked.begin(), asked.end(), name) != asked.end())
        continue;
      Fault &f = fault(name, "unknown key");
      f.propose(likely_names(name, asked));
      if (f.nearest.empty() && f.hint.empty())
        f.allowed = list_text(asked);
    }
  }
};

} // namespace raybend
