// A published value as its file in cases/validation/ says it: foot, loads and designs that stand for the measurement,
// what is read of them, the published range, its source.
#pragma once
#include "cases/forefoot/case.hpp"
#include "postprocess/lab/foot_reading.hpp"
#include "postprocess/lab/validation_result.hpp"
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace raybend {

/// One insole under one activity: a base case with changes.
struct PublishedRun {
  Case foot_and_loads; ///< the base case with its changes; several activities are instants of one course
  Design design;       ///< of that case
};

/// A reading of a run, or of one run less that of another.
struct PublishedTerm {
  FootReading reading;
  std::string run, minus; ///< names in PublishedRow::runs; `minus` may be empty
};

struct PublishedQuantity {
  PublishedTerm value;
  std::optional<PublishedTerm> over; ///< what it is divided by
  bool change = false;               ///< with `over`: per cent by which the value is more
  int line = 0, found_line = 0;      ///< in the file: of the table, of its pinned value (0: it has none)
};

struct PublishedRow {
  std::string path;
  ValidationRow shown;                       ///< all but the values
  std::vector<PublishedQuantity> quantities; ///< as many as shown.quantities
  std::map<std::string, PublishedRun> runs;
};

/// Reads and checks a row and the cases of its runs; solves nothing. `resolution` replaces the file's own, "" keeps it.
/// Throws CaseError with every fault found.
PublishedRow read_published_row(const std::string &path, const std::string &resolution);

/// The file's text with its pinned values replaced by those in `row.shown`, four digits each.
std::string with_new_pins(const std::string &text, const PublishedRow &row);

} // namespace raybend
