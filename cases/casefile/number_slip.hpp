// Numbers as people write them and TOML does not: 61 kg, 61,5, 17 000.
#pragma once
#include "cases/casefile/case_error.hpp"
#include "cases/catalogue/catalogue.hpp"
#include <optional>
#include <string>

namespace raybend {

struct NumberSlip {
  std::string value; ///< as it stands there: "61,5 kg"
  bool comma = false, unit = false;
  bool grouped = false; ///< a space or a mark parts the thousands

  /// What is wanted in its place: "a number without a unit (kg is in the key's name)". `key` is the plain
  /// name.
  std::string wanted(const std::string &key, const std::string &unit_of_key) const;
};

/// The slip that `text` begins with, if it begins with one; the value ends at a comma, a bracket or a
/// comment.
std::optional<NumberSlip> number_slip(const std::string &text);

/// The one whole number among other words: 2 of MT2, ray 2 and 2nd; "" if there is none or more than one.
std::string the_whole_number(const std::string &text);

/// What is wanted, and what to write for this text, under a key that takes a whole number; `how` follows "wanted":
/// ", without quotes".
std::string whole_number_wanted(const CatalogueRow &row, const std::string &name, const std::string &text,
                                const std::string &how = "");

/// For a text that does not parse, with the place where the parser stopped (`column` counts characters from
/// 1; 0: not known): the fault with key and value if a slip stands on that line up to that place.
std::optional<Fault> number_fault(const std::string &text, int line, int column);

/// Concrete path of the table that the lines before `line` (from 1) opened last: "designs[2].support[1]"; ""
/// for the top of the file.
std::string open_table(const std::string &text, int line);

/// Kind of the support element whose table that line stands in; "" if it is another table or names none.
std::string open_kind(const std::string &text, int line);

/// Of a number with a mark before its last three digits (1.800, 1,800) that is far too small for this key with
/// the mark for a decimal point, and usual without it: the number without it, else "". `ray` 1 to 5 or 0.
std::string thousands_of(const CatalogueRow &row, int ray, const std::string &written, char mark);

} // namespace raybend
