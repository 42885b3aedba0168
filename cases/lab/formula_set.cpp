// Several formulas of the same variables, with named intermediate values.
#include "cases/lab/formula_set.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cctype>

namespace raybend {

namespace {

/// Every name in a formula's text.
std::vector<std::string> identifiers(const std::string &text) {
  std::vector<std::string> names;
  const auto part = [&text](std::size_t i) {
    return i < text.size() && (std::isalnum(static_cast<unsigned char>(text[i])) || text[i] == '_');
  };
  for (std::size_t i = 0; i < text.size();) {
    std::size_t j = i;
    while (part(j))
      ++j;
    if (j == i) {
      ++i;
      continue;
    }
    if (!std::isdigit(static_cast<unsigned char>(text[i])))
      names.push_back(text.substr(i, j - i));
    i = j;
  }
  return names;
}

Formula parsed(const Entry &entry, const std::vector<std::string> &variables, const Names &names) {
  try {
    return Formula(entry.text, variables, names.constants);
  } catch (const FormulaError &error) {
    EntryError refused(error.what(), entry);
    if (!error.unknown.empty()) {
      std::vector<std::string> known = variables;
      for (const auto &[name, value] : names.constants)
        known.push_back(name);
      for (const Entry &field : names.fields)
        known.push_back(last_name(field.key));
      for (const char *name : {"sin", "cos", "tan", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh",
                               "exp", "ln", "log10", "sqrt", "abs", "min", "max", "pi"})
        known.push_back(name);
      refused.nearest = nearest_name(error.unknown, known);
    }
    throw refused;
  }
}

} // namespace

std::string last_name(const std::string &key) {
  return key.substr(key.find_last_of('.') + 1);
}

std::set<std::string> names_used(const std::vector<Entry> &outputs, const std::vector<Entry> &fields) {
  std::set<std::string> used;
  std::vector<std::string> open;
  for (const Entry &e : outputs)
    for (const std::string &name : identifiers(e.text))
      open.push_back(name);
  while (!open.empty()) {
    const std::string name = open.back();
    open.pop_back();
    if (!used.insert(name).second)
      continue;
    for (const Entry &field : fields)
      if (last_name(field.key) == name)
        for (const std::string &other : identifiers(field.text))
          open.push_back(other);
  }
  return used;
}

FormulaSet::FormulaSet(const std::vector<Entry> &outputs, const std::vector<std::string> &variables,
                       const Names &names)
    : variables_(variables.size()) {
  // Only fields that the outputs need; a field only knows those before it.
  const std::set<std::string> used = names_used(outputs, names.fields);
  std::vector<std::string> known = variables;
  for (const Entry &field : names.fields)
    if (used.count(last_name(field.key))) {
      fields_.push_back(parsed(field, known, names));
      known.push_back(last_name(field.key));
    }
  for (const Entry &e : outputs)
    outputs_.push_back(parsed(e, known, names));
  values_.resize(known.size());
  results_.resize(outputs.size());
}

const std::vector<double> &FormulaSet::operator()(const std::vector<double> &values) const {
  std::copy(values.begin(), values.end(), values_.begin());
  // A field reads only the values that come before its own.
  for (std::size_t f = 0; f < fields_.size(); ++f)
    values_[variables_ + f] = fields_[f](values_);
  for (std::size_t i = 0; i < outputs_.size(); ++i)
    results_[i] = outputs_[i](values_);
  return results_;
}

double number(const Entry &entry, const Names &names) {
  Names constants;
  constants.constants = names.constants;
  return parsed(entry, {}, constants)(std::vector<double>());
}

} // namespace raybend
