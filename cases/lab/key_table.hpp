// One table of a textbook case file: its keys taken out one by one, numbers as formulas, the rest refused.
#pragma once
#include "cases/casefile/table.hpp"
#include <array>

namespace raybend {

/// A formula as it stands in the file, with its place for messages.
struct Entry {
  std::string text;
  int line = 0;
  std::string key;
  bool given() const { return line > 0; }
};
using Entry3 = std::array<Entry, 3>;

/// What was not readable comes back empty. Every key asked for counts as known.
class KeyTable : public Table {
public:
  using Table::Table;

  enum class Need { must, may };
  std::string text(const std::string &name, Need need);
  /// One of `choices`; the first is the default if the key may be missing.
  std::string choice(const std::string &name, const std::vector<std::string> &choices, Need need);
  bool flag(const std::string &name, bool otherwise);
  /// A number or a formula.
  Entry formula(const std::string &name, Need need);
  Entry formula_or(const std::string &name, const std::string &otherwise);
  std::vector<Entry> formulas(const std::string &name, Need need);
  /// A list of three numbers or formulas.
  Entry3 three(const std::string &name, Need need);
  std::vector<std::string> texts(const std::string &name, Need need);
  KeyTable table(const std::string &name);
  std::vector<KeyTable> tables(const std::string &name);
  /// All remaining keys in the order of the file, as formulas: a table of definitions.
  std::vector<Entry> definitions();

  /// Logs every key that was not asked for, with the nearest that was.
  void refuse_unknown();

private:
  const toml::node *take(const std::string &name, Need need, const std::string &allowed);
  Entry entry(const toml::node &node, const std::string &name, const std::string &key, bool &good);
};

} // namespace raybend
