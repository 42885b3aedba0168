// A Markdown table with padded columns, so that the source reads as a table in a terminal too.
#pragma once
#include <string>
#include <vector>

namespace raybend {

enum class Column { left, right };

class TextTable {
public:
  TextTable(std::vector<std::string> heads, std::vector<Column> sides);

  /// One cell for each head; throws std::invalid_argument otherwise. Bars and line ends in a cell are
  /// replaced.
  void add(std::vector<std::string> cells);
  std::string markdown() const;

private:
  std::vector<std::vector<std::string>> rows; ///< the first holds the heads
  std::vector<Column> sides;
};

/// Characters a UTF-8 text takes on a terminal (every code point counted as one).
std::size_t text_width(const std::string &text);

/// Text fit for one line: control characters become blanks, broken UTF-8 becomes '?'.
std::string one_line(const std::string &text);

/// "a, b and c"
std::string list_of(const std::vector<std::string> &items);

/// A text as a field of a CSV line: on one line, in quotes where a comma or a quote asks for it (RFC 4180).
std::string csv_text(const std::string &text);
/// One line of such fields.
std::string csv_row(const std::vector<std::string> &fields);

/// Wraps at blanks; never breaks a word, nor a number from its unit. `indent` begins the second and later
/// lines and is part of their width; the first line begins at column `from`.
std::string wrapped(const std::string &text, std::size_t width = 100, const std::string &indent = "",
                    std::size_t from = 0);

} // namespace raybend
