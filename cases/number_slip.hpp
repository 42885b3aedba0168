// Numbers as people write them and TOML does not: 61 kg, 61,5, 17 000.
#pragma once
#include "cases/case_error.hpp"
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

/// For a text that does not parse, with the place where the parser stopped (`column` counts characters from
/// 1; 0: not known): the fault with key and value if a slip stands on that line up to that place.
std::optional<Fault> number_fault(const std::string &text, int line, int column);

/// Concrete path of the table that the lines before `line` (from 1) opened last: "designs[2].support[1]"; ""
/// for the top of the file.
std::string open_table(const std::string &text, int line);

} // namespace raybend
