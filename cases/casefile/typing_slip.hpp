// Lines as people type them and TOML does not take them: right without quotes, “right”, 61 kg, a bracket left open.
#pragma once
#include "cases/casefile/case_error.hpp"
#include <string>

namespace raybend {

/// For a text that does not parse: the line, its key as far as it can be told, what is wanted there and what to write,
/// with the line itself and a mark below the character. `line` and `column` (0: not known) count from 1 and are
/// where the parser stopped; `parser_words` is what it says. A list or text left open, or a key given twice, names
/// the line of its cause. Throws nothing.
Fault typing_slip(const std::string &text, int line, int column, const std::string &parser_words);

/// A list as it is written: ["a", "b"] for a, b and "a" "b".
std::string list_written(const std::string &inside);

} // namespace raybend
