// Takes values out of one TOML table, each checked against its catalogue row.
#pragma once
#include "cases/casefile/table.hpp"
#include "cases/catalogue/catalogue.hpp"
#include <optional>

namespace raybend {

/// Asking for a key without a catalogue row throws std::logic_error.
class TableReader : public Table {
public:
  /// `place`: concrete path ("designs[2].layers[1]", "" for the top level). `rows`: catalogue paths of the
  /// tables whose rows apply, tried in turn ("designs[].support[pad]", "designs[].support[]").
  TableReader(ReadingLog &log, const toml::table *table, const std::string &place,
              const std::vector<std::string> &rows);

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

  /// Puts every value that the table has into the member that its row stands for. Members of other structs and what the
  /// table has not are left alone.
  template <typename Struct> void into(Struct &object) { members_into(typeid(Struct), &object); }

  /// Logs every key of the table that the catalogue does not have. `takes` (may be empty) are the keys to name
  /// as allowed where the table takes fewer than the catalogue's rows have, `what` says in words what it is. Call
  /// it last: a key of the catalogue that stands there and was never asked for would be ignored, and throws
  /// std::logic_error (unless there are faults, after which a reader may leave keys aside).
  void refuse_unknown(const std::string &what = "", const std::vector<std::string> &takes = {});

private:
  const CatalogueRow &row(const std::string &name) const;
  const toml::node *take(const std::string &name);
  bool check_choice(const std::string &name, const std::string &value);
  void wrong_type(const std::string &name, const toml::node &value);
  void explain_unknown(Fault &f, const std::string &name, const std::vector<std::string> &known) const;
  int ray() const;
  void members_into(const std::type_info &of, void *object);

  std::vector<std::string> rows;
};

} // namespace raybend
