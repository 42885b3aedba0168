// Lines as people type them and TOML does not take them: right without quotes, “right”, a bracket left open.
#pragma once
#include "cases/casefile/case_error.hpp"
#include <optional>
#include <string>

namespace raybend {

/// For a text that does not parse: what is wrong with the line where the parser stopped, in plain words and
/// with what to write, or nothing if no common slip is seen there. `line` counts from 1; `parser_words` is
/// what the parser says. A list left open or a key given twice names the line of its cause. Throws nothing.
std::optional<Fault> typing_slip(const std::string &text, int line, const std::string &parser_words);

/// A list as it is written: ["a", "b"] for a, b and "a" "b".
std::string list_written(std::string inside);

} // namespace raybend
