// Small helpers on text: number formatting, nearest names, wrapping.
#pragma once
#include <string>
#include <vector>

namespace raybend {

/// Shortest usual form of a number, at most `digits` significant digits: 8, 0.35, 1700.
std::string number_text(double value, int digits = 6);

/// Without the spaces and tabs at both ends.
std::string trimmed(const std::string &text);

/// "a, b, c"
std::string list_text(const std::vector<std::string> &items);

/// Edits (insert, delete, replace, swap neighbours) that turn one name into the other.
unsigned edit_distance(const std::string &a, const std::string &b);

/// Nearest of `names`, or "" if none is near enough to be what was meant. A name that differs only in its
/// unit (body_mass_lb, thickness) counts as near. A name of one or two letters is near to its
/// own letters in another case only, one of two letters also to what has one letter more.
std::string nearest_name(const std::string &name, const std::vector<std::string> &names);

/// What was likely meant, in the order of `names`: the nearest one, and where they differ in a number only
/// (eva-40, ray6) all that differ so; else those that begin with the given words or hold them all (US: US men,
/// US women; push-off), else those of which every word is given (met-pad: pad). A word of the clinic that has
/// another name here (trade_words.hpp) stands for that name. Empty if none or too many.
std::vector<std::string> likely_names(const std::string &name, const std::vector<std::string> &names);

/// "a", "a or b", "a, b or c", each in quotes.
std::string choice_text(const std::vector<std::string> &names);

/// A key without its unit ending: thickness_mm -> thickness.
std::string without_unit(const std::string &key);

/// `wrapped` to lines of at most `width` characters; the second and later ones are set in by `indent` more.
std::string folded(const std::string &text, std::size_t width, std::size_t indent);

/// Text padded with spaces on the right to `width`.
std::string padded(const std::string &text, std::size_t width);

/// Text padded with spaces on the left to `width`.
std::string right_aligned(const std::string &text, std::size_t width);

/// A text as a quoted TOML string on one line.
std::string quoted(const std::string &text);

/// Text safe to print in a one-line message: control characters replaced by '?', cut at `limit`.
std::string printable(const std::string &text, std::size_t limit = 60);

bool contains(const std::string &text, const std::string &part);

} // namespace raybend
