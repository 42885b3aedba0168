// Takes values out of one TOML table, each checked against its catalogue row.
#pragma once
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/toml.hpp"
#include "cases/catalogue/catalogue.hpp"
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace raybend {

/// What is collected while a case is read.
struct ReadingLog {
  std::string file;
  std::string text;                              ///< of the file, for what a value's number does not tell
  std::set<std::string> set_keys;                ///< concrete keys given by --set
  std::map<std::string, std::string> set_values; ///< and their values as they were typed
  std::vector<Fault> faults;
  std::vector<std::string> warnings;
  /// Concrete key -> "case", "--set" or, of a value that follows from another key, "case, shoe_size"; others are
  /// defaults.
  std::map<std::string, std::string> origins;
  std::set<std::string> taken;      ///< concrete keys that a reader looked at
  std::map<std::string, int> lines; ///< concrete key -> line, of the keys that are there
  std::set<std::string> blamed;     ///< keys that fault_of() named
  Fault dropped;                    ///< where fault_of() lets a repeated fault go

  /// `line` 0: none known.
  Fault &fault(const std::string &key, int line, const std::string &problem);
  void warn(const std::string &key, int line, const std::string &words);
  void warn(const std::string &key, const std::string &words); ///< with the key's line, where it has one
  /// The value as it stands in the file or in --set: 1.800; "" where that is not known.
  std::string as_written(const std::string &key, const toml::node &value) const;
  /// The value of `key` follows from `cause`, a key that is given; a key that is given itself keeps its origin.
  void derive(const std::string &key, const std::string &cause);
  /// A fault of several values together, placed at the first of these keys that the case gives (else at the
  /// first). Only the first such fault of a key is kept: the others have the same cause.
  Fault &fault_of(const std::vector<std::string> &keys, const std::string &problem);
  /// Drops what only follows from a misspelt key (the key that was meant is "missing") and sorts by line.
  void tidy();
};

/// Readers never throw for what the user wrote: they log a fault and return nothing. Asking for a key without
/// a catalogue row throws std::logic_error.
class TableReader {
public:
  /// `place`: concrete path ("designs[2].layers[1]", "" for the top level). `rows`: catalogue paths of the
  /// tables whose rows apply, tried in turn ("designs[].support[pad]", "designs[].support[]").
  TableReader(ReadingLog &log, const toml::table *table, const std::string &place,
              const std::vector<std::string> &rows);

  bool has(const std::string &name) const;
  int line(const std::string &name) const; ///< of the key, or of the table
  std::string path(const std::string &name) const;

  std::optional<double> number(const std::string &name);
  std::optional<int> integer(const std::string &name);
  std::optional<std::string> text(const std::string &name); ///< text and choice
  /// A text that may stand in the name of a file or a column: 1 to 40 lower-case letters, digits and hyphens.
  /// Another text is a fault ("not a design name", `what`) and comes back all the same.
  std::optional<std::string> label(const std::string &name, const std::string &what);
  std::optional<std::vector<std::string>> choice_list(const std::string &name);
  std::optional<bool> boolean(const std::string &name);

  /// The value, or the catalogue's default number. NaN after a fault.
  double number_or_default(const std::string &name, int ray = 0);

  /// Puts the number into `value` where the table has it.
  void number_into(const std::string &name, double &value);

  /// A sub-table, nullptr if it is not there; a fault if something else is.
  const toml::table *sub_table(const std::string &name);

  /// True if a list stands there.
  bool is_list(const std::string &name) const;

  /// True if this word stands in the place of a list or table.
  bool is_word(const std::string &name, const std::string &word);

  /// A list of tables with their places ("designs[1]" ..). A fault if something else is there.
  std::vector<const toml::table *> table_list(const std::string &name);

  Fault &fault(const std::string &name, const std::string &problem);

  /// Logs every key of the table that the catalogue does not have. `takes` (may be empty) are the keys to name
  /// as allowed where the table takes fewer than the catalogue's rows have, `what` says in words what it is. Call
  /// it last: a key of the catalogue that stands there and was never asked for would be ignored, and throws
  /// std::logic_error (unless there are faults, after which a reader may leave keys aside).
  void refuse_unknown(const std::string &what = "", const std::vector<std::string> &takes = {});

  ReadingLog &log;

private:
  const CatalogueRow &row(const std::string &name) const;
  const toml::node *node(const std::string &name) const;
  const toml::node *take(const std::string &name);
  bool check_choice(const std::string &name, const std::string &value);
  void wrong_type(const std::string &name, const toml::node &value);
  void explain_unknown(Fault &f, const std::string &name, const std::vector<std::string> &known) const;
  int ray() const;

  const toml::table *table;
  std::string place;
  std::vector<std::string> rows;
};

/// What stands there, in words: -3, "abc", a table, a list, ...
std::string found_words(const toml::node &value);

} // namespace raybend
