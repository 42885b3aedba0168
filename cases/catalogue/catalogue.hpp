// The one table of every case-file key. Reader, `check`, error messages and `raybend explain` all use it.
#pragma once
#include <cmath>
#include <functional>
#include <optional>
#include <string>
#include <type_traits>
#include <typeinfo>
#include <vector>

namespace raybend {

/// label: a text that may stand in the name of a file or a column.
enum class KeyType { number, integer, text, label, choice, choice_list, boolean };

/// True for what is written as one text in quotes.
bool is_text(KeyType type);

struct Range {
  double low = 0, high = 0;
  bool holds(double value) const { return value >= low && value <= high; }
};

/// The member of a struct that a key stands for. Every value is a number here: a flag 0 or 1, a choice its place among the
/// row's choices (so that an enum has their order), one that is left open NaN.
struct KeyMember {
  const std::type_info *of = nullptr; ///< the struct; nullptr: the key stands for no member
  std::function<double(const void *)> get;
  std::function<void(void *, double)> set;
};

/// How far a number may lie from what the case says, for studies and for how sure an answer is: bounds, or a standard
/// deviation where `deviation` is not 0.
struct Spread {
  double low = 0, high = 0, deviation = 0;
  std::string source;    ///< or "assumed"
  bool of_value = false; ///< `deviation` is a part of the value, not in the key's unit

  /// Standard deviation about a value. Bounds of its own are taken as equally likely between; a usual range as 2.5
  /// standard deviations to both sides (assumed).
  double deviation_at(double value, bool usual_range) const;
};

/// One key. Paths are dotted; `[]` stands for any place in a list, `[pad]` for the places of that kind,
/// `rayN` for ray1 .. ray5. The key's name ends in its unit.
struct CatalogueRow {
  std::string key;
  KeyType type = KeyType::number;
  std::string unit; ///< "" for dimensionless numbers and words
  bool required = false;
  std::string default_words;          ///< the default as `explain` prints it
  std::vector<double> default_values; ///< numbers: none (see the words), one, or five (rays 1 to 5)
  Range allowed;                      ///< numbers: outside it is an error
  std::vector<Range> published;       ///< none, one, or five (rays 1 to 5): outside it is a warning
  std::vector<std::string> choices;
  std::string meaning;
  std::string source;       ///< where the default comes from and how sure it is
  std::string usual_source; ///< where the published range comes from, if not from `source`
  std::string example;      ///< a line of the case file, where one is of use
  KeyMember member;
  std::optional<Spread> own_spread;
  std::optional<Spread> measuring; ///< error of a value that was measured

  // Builders, so that the tables read as one sentence a row.
  CatalogueRow &needed();
  CatalogueRow &otherwise(double value);             ///< default number
  CatalogueRow &otherwise(const std::string &words); ///< default in words
  CatalogueRow &per_ray(const std::vector<double> &values, const std::string &scaling);
  CatalogueRow &within(double low, double high);
  CatalogueRow &usual(double low, double high, const std::string &from = "");
  CatalogueRow &usual_per_ray(const std::vector<Range> &ranges);
  CatalogueRow &one_of(const std::vector<std::string> &names);
  CatalogueRow &means(const std::string &sentence);
  CatalogueRow &from(const std::string &words);
  CatalogueRow &written(const std::string &line);
  CatalogueRow &varies(double low, double high, const std::string &from); ///< bounds
  CatalogueRow &deviates(double deviation,
                         const std::string &from); ///< standard deviation, in the key's unit
  CatalogueRow &deviates_by_part(double part, const std::string &from); ///< standard deviation over value
  CatalogueRow &measured_to(double deviation, const std::string &from);
  template <typename Struct, typename Value> CatalogueRow &into(Value Struct::*member);

  /// Default of a ray's key (ray 1..5), or of a plain key (ray 0). Throws std::logic_error if there is none.
  double number(int ray = 0) const;
  /// Published range that applies, or nullptr.
  const Range *published_for(int ray) const;
  /// Where the published range comes from; "" if that is not said.
  const std::string &source_of_usual() const;
  /// Its own spread, or else the published range that applies as bounds; nothing where neither is given.
  std::optional<Spread> spread(int ray = 0) const;
  /// Standard deviation of a value of this key: of its measuring, if it was measured (a third of people's where no error is
  /// given, assumed), or of people. 0 where nothing is known.
  double deviation(double value, bool measured, int ray = 0) const;
  /// "20 to 250 kg", "left, right", "true or false", ...
  std::string allowed_words() const;
};

template <typename Struct, typename Value> CatalogueRow &CatalogueRow::into(Value Struct::*place) {
  member.of = &typeid(Struct);
  member.get = [place](const void *object) {
    const Value &value = static_cast<const Struct *>(object)->*place;
    if constexpr (std::is_same_v<Value, std::optional<double>>)
      return value.value_or(std::nan(""));
    else
      return static_cast<double>(value);
  };
  member.set = [place](void *object, const double x) {
    Value &value = static_cast<Struct *>(object)->*place;
    if constexpr (std::is_same_v<Value, std::optional<double>>)
      value = x;
    else if constexpr (std::is_enum_v<Value>)
      value = static_cast<Value>(static_cast<int>(x));
    else
      value = static_cast<Value>(x);
  };
  return *this;
}

/// Source of a key that stands for no number; `explain` leaves it out.
extern const char *const no_number;

/// A table of the case file in words: what the thing is, which way its lengths are measured.
struct CatalogueTable {
  std::string path;    ///< as the rows have it: "designs[].support[pad]"
  std::string meaning; ///< sentences
};

/// What the table with this catalogue path is; "" where nothing is said of it.
std::string table_meaning(const std::string &path);

/// All rows, in the order of a case file.
const std::vector<CatalogueRow> &catalogue();

/// The row of a catalogue path. Throws std::logic_error if there is none: the program asked for a key
/// that nobody described.
const CatalogueRow &catalogue_row(const std::string &key);

/// Same, nullptr if there is none.
const CatalogueRow *find_catalogue_row(const std::string &key);

/// The rows directly in the table with this catalogue path that stand for members of that struct, in order.
std::vector<const CatalogueRow *> member_rows(const std::string &table, const std::type_info &of);

/// Catalogue path of a concrete one: designs[2].layers[1].nu -> designs[].layers[].nu, patient.ray2.x ->
/// patient.rayN.x, activity[2].kind -> activity.kind (one activity or several have the same keys).
std::string general_key(const std::string &concrete);

/// True for keys of a beam file, false for those of a forefoot case: the two kinds of file share no key.
bool of_a_beam(const std::string &key);

/// Names that may stand directly in the table with this catalogue path ("" for the top level).
std::vector<std::string> names_in(const std::string &table);

} // namespace raybend
