// One table of a textbook case file: its keys taken out one by one, the rest refused.
#pragma once
#include "cases/casefile/table_reader.hpp"
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

/// Faults go to the log; what was not readable comes back empty. Every key asked for counts as known.
class KeyTable {
public:
  KeyTable(ReadingLog &log, const toml::table *table, std::string place);

  bool there() const { return table_ != nullptr; }
  bool has(const std::string &name) const;
  int line(const std::string &name) const; ///< of the key, or of the table
  std::string path(const std::string &name) const;
  Fault &fault(const std::string &name, const std::string &problem);

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
  void wrong(const std::string &name, const toml::node &node, const std::string &allowed);
  Entry entry(const toml::node &node, const std::string &name, const std::string &key, bool &good);

  ReadingLog &log_;
  const toml::table *table_;
  std::string place_;
  std::vector<std::string> known_;
};

} // namespace raybend
