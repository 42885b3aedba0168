// TOML text to tables, or the fault of the line where it is none.
#include "cases/casefile/toml_text.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/typing_slip.hpp"
#include <algorithm>

namespace raybend {

namespace {

/// First line at which the library's assertion fires; it gives no place itself. The text up to there parses
/// or ends in an ordinary error, any longer text fires.
int first_bad_line(const std::string &text) {
  std::vector<std::size_t> ends; // of the lines
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '\n' || i + 1 == text.size())
      ends.push_back(i + 1);
  const auto good = [&](const std::size_t end) {
    try {
      const toml::table ignored = toml::parse(text.substr(0, end));
    } catch (const toml::parse_error &) { // an open list or string may close later
    } catch (const TomlAssertion &) {
      return false;
    }
    return true;
  };
  return static_cast<int>(std::partition_point(ends.begin(), ends.end() - 1, good) - ends.begin()) + 1;
}

} // namespace

toml::table parse_toml(const std::string &text, const std::string &path) {
  const auto refuse = [&](const int line, const int column, const std::string &words) {
    Fault f = typing_slip(text, line, column, words);
    f.file = path;
    throw CaseError({f});
  };
  try {
    return toml::parse(text, path);
  } catch (const toml::parse_error &error) {
    const auto begin = error.source().begin;
    refuse(static_cast<int>(begin.line), static_cast<int>(begin.column), std::string(error.description()));
  } catch (const TomlAssertion &problem) {
    refuse(first_bad_line(text), 0, problem.what());
  }
  return {}; // not reached
}

} // namespace raybend
