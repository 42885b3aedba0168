// What the files on slips of the keyboard (typing_slip.hpp) share: looking at a line, and the kinds of slip.
// Used by them alone.
#pragma once
#include "cases/casefile/case_error.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/words/words.hpp"
#include <optional>
#include <string>
#include <vector>

namespace raybend::slip {

using Lines = std::vector<std::string>;

bool begins(const std::string &text, const std::string &start);
bool ends(const std::string &text, const std::string &end);
bool of_a_key(char c);

/// True if a quote of word processors or of other languages stands anywhere.
bool has_odd_quote(const std::string &text);
/// Length of the odd quote that the text begins with; 0 if none.
std::size_t odd_quote_at_start(const std::string &text);
std::size_t odd_quote_at_end(const std::string &text);

Lines lines_of(const std::string &text);

/// Up to the remark, if one stands outside straight quotes.
std::string without_remark(const std::string &text);

/// The word or words meant: quotes of every kind and a comma or semicolon at the end taken off.
std::string bare(std::string text);

/// The whole text is one number as TOML writes it.
bool is_number(const std::string &text);

/// The row of that key; of a support element's measure the row of its kind, or of any kind that has it while the
/// kind is not known ("").
const CatalogueRow *row_of(const std::string &key, const std::string &kind = "");
bool takes_number(const CatalogueRow *row);

/// A table's line as it should be: [[designs.layers]] of any spelling of brackets round designs.layers.
std::string table_line(const std::string &name, bool doubled);

/// Brackets that the text opens and does not close, outside straight quotes.
int left_open(const std::string &text);

/// What to write for these words under that key: quotes for words, the nearest word of a choice.
std::string written(const std::string &name, const CatalogueRow *row, const std::string &words);

/// One line and what is said of it.
struct Slip {
  std::string key; ///< concrete path; may be empty
  int line = 0;
  std::string kind = ""; ///< of the support element that the line belongs to

  Fault say(const std::string &problem, const std::string &found = "") const;
};

// ---- tables (table_slips.cpp)

/// A table's line that is none.
std::optional<Fault> header_slip(const Slip &at, const std::string &words);
/// A key or table that is given a second time.
std::optional<Fault> repeated(const std::string &text, const Lines &lines, const Slip &at);

// ---- lists (list_slips.cpp)

std::optional<Fault> list_slip(const Slip &at, const std::string &name, const std::string &value);
/// The list that stands open where the parser stopped, if it began on an earlier line.
std::optional<Fault> open_list(const std::string &text, const Lines &lines, int line);

// ---- values (value_slips.cpp, number_like_slips.cpp)

/// A word without quotes, or in quotes that are none.
Fault word_slip(const Slip &at, const std::string &name, const std::string &value, const CatalogueRow *row);
/// What stands behind a value that is complete.
Fault rest_slip(const Slip &at, const std::string &name, const std::string &value, const std::string &rest);
/// How many other lines have a value in odd quotes: "3 more lines have such quotes", "" for none.
std::string such_quotes_elsewhere(const Lines &lines, int line);
/// A value that begins with a straight quote.
std::optional<Fault> text_slip(const Slip &at, const std::string &name, const std::string &value,
                               const CatalogueRow *row, const std::string &parser_words);
/// Three quotes that open a text on some line and never close it.
std::optional<Fault> open_quotes(const std::string &text, const Lines &lines);
/// A value that begins like a number.
std::optional<Fault> digits_slip(const Slip &at, const std::string &name, const std::string &value,
                                 const CatalogueRow *row, const std::string &parser_words);
/// A table in braces on one line: the first of its values that is no value.
std::optional<Fault> braces_slip(int line, const std::string &words);

// ---- lines (line_slips.cpp)

/// A line without "=".
std::optional<Fault> line_slip(const std::string &table, Slip at, const std::string &words);
/// A key that is more than one plain word.
std::optional<Fault> key_slip(const std::string &table, int line, const std::string &key,
                              const std::string &value);
/// Spaces that look like spaces and are none.
std::optional<Fault> space_slip(const Slip &at, const std::string &words);

} // namespace raybend::slip
