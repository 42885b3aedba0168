// One table of a file, whatever its keys: what stands in it and where.
#pragma once
#include "cases/casefile/reading_log.hpp"

namespace raybend {

/// What stands there, in words: -3, "abc", a table, a list, ...
std::string found_words(const toml::node &value);

/// Readers never throw for what the user wrote: they log a fault and return nothing.
class Table {
public:
  /// `place`: concrete path ("designs[2].layers[1]", "" for the top level). `table`: nullptr if it is not there.
  Table(ReadingLog &log, const toml::table *table, const std::string &place);

  bool there() const { return source != nullptr; }
  bool has(const std::string &name) const;
  int line(const std::string &name) const; ///< of the key, or of the table
  std::string path(const std::string &name) const;
  Fault &fault(const std::string &name, const std::string &problem);

  /// True if a list stands there.
  bool is_list(const std::string &name) const;

  /// True if this word stands in the place of a list or table.
  bool is_word(const std::string &name, const std::string &word);

  /// A sub-table, nullptr if it is not there; a fault if something else is.
  const toml::table *sub_table(const std::string &name);

  /// A list of tables with their places ("designs[1]" ..). A fault if something else is there, or more than a hundred.
  std::vector<const toml::table *> table_list(const std::string &name);

  ReadingLog &log;

protected:
  const toml::node *node(const std::string &name) const;
  /// The same; from now on the key is no unknown one.
  const toml::node *ask(const std::string &name);
  /// A fault: this stands there.
  Fault &wrong(const std::string &name, const toml::node &value, const std::string &allowed);

  const toml::table *source;
  std::string place;
  std::vector<std::string> asked; ///< names of keys
};

} // namespace raybend
