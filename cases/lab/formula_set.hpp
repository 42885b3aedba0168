// Several formulas of the same variables, with named intermediate values.
#pragma once
#include "cases/lab/formula.hpp"
#include "cases/lab/key_table.hpp"
#include <set>

namespace raybend {

/// Thrown where an entry is no formula: what() says why, the entry says where.
struct EntryError : std::runtime_error {
  EntryError(const std::string &words, Entry where) : std::runtime_error(words), entry(std::move(where)) {}
  Entry entry;
  std::string nearest; ///< nearest known name, may be empty
};

/// Names known to the formulas of a case.
struct Names {
  std::map<std::string, double> constants;
  std::vector<Entry>
      fields; ///< definitions in order; `key` ends in the name; later ones may use earlier ones
};

/// The part of a key behind the last dot.
std::string last_name(const std::string &key);

/// The names in the texts of these formulas and in the fields that they need, directly or through others.
std::set<std::string> names_used(const std::vector<Entry> &outputs, const std::vector<Entry> &fields);

/// Outputs as functions of the variables. Only the fields that the outputs need are evaluated.
class FormulaSet {
public:
  FormulaSet(const std::vector<Entry> &outputs, const std::vector<std::string> &variables,
             const Names &names);
  FormulaSet(FormulaSet &&) = default;

  /// One value a variable; the result has one value an output and lives until the next call.
  const std::vector<double> &operator()(const std::vector<double> &values) const;

private:
  std::size_t variables_;
  std::vector<Formula> fields_, outputs_;
  mutable std::vector<double> values_, results_;
};

/// A formula of constants only.
double number(const Entry &entry, const Names &names);

} // namespace raybend
