// Published values beside what was found, as Markdown, CSV and JSON.
#pragma once
#include "postprocess/lab/validation_result.hpp"

namespace raybend {

/// One line on a terminal: name, verdict, what moved.
std::string validation_line(const ValidationRow &row);

/// For people: missed rows first, then one table a group, then the sources.
std::string validation_summary(const std::vector<ValidationRow> &rows);

/// One line a quantity; no number, empty field.
std::string validation_csv(const std::vector<ValidationRow> &rows);

std::string validation_json(const std::vector<ValidationRow> &rows);

} // namespace raybend
