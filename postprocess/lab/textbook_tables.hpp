// Results of textbook cases as text, CSV, JSON and a Markdown summary.
#pragma once
#include "postprocess/lab/convergence.hpp"
#include "postprocess/lab/textbook_result.hpp"
#include <string>
#include <vector>

namespace raybend {

/// For people: a table a quantity over the levels, Richardson's value, verdict, source.
std::string textbook_report(const TextbookResult &result);

/// One line: name, verdict, the quantity nearest to its limit, size, time.
std::string textbook_line(const TextbookResult &result);

/// One line a quantity and level. Columns in the heading; errors in per cent; no number, empty field.
std::string textbook_csv(const TextbookResult &result);

/// Everything; read_textbook_json takes back what the solver gave (derived numbers are left out).
std::string textbook_json(const TextbookResult &result);
/// Throws std::runtime_error if the text is not what textbook_json writes.
TextbookResult read_textbook_json(const std::string &text);

/// One row a quantity that decides; one row a case that failed.
std::string textbook_summary(const std::vector<TextbookResult> &results);

/// What the first `levels` levels say about the exact value of a quantity; changes as small as rounding are
/// none. The one place for text, CSV and JSON.
Extrapolation extrapolated(const TextbookResult &result, std::size_t quantity, std::size_t levels);

/// A number with six significant digits.
std::string six_digits(double value);

} // namespace raybend
