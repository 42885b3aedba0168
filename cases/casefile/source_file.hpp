// The text of a case file, refused early when it cannot be one.
#pragma once
#include <string>

namespace raybend {

constexpr std::size_t largest_case_file = 1u << 18; ///< bytes; ready cases have a few thousand

/// Reads a whole file. Throws CaseError if it is missing, a directory, not a plain file, unreadable, larger
/// than largest_case_file, or not UTF-8 text (with the line).
std::string read_case_text(const std::string &path);

} // namespace raybend
