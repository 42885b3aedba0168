// The command `raybend validate`: published values against the model.
#pragma once
#include <string>
#include <vector>

namespace raybend {

struct ValidateOptions {
  std::vector<std::string> names; ///< of rows, or paths ending in .toml
  bool all = false;
  std::string resolution; ///< "": what each row says; another: pinned values are not compared
  std::string out;        ///< directory for the results; can be written
  bool pin = false;       ///< the values found are written into the rows' files
  bool quiet = false;
};

/// Names and titles of the rows.
std::string validation_list();

/// Solves what the rows need, a process for each load, prints a line a row, writes summary.md, rows.csv, rows.json.
/// 0: every row is as its file says (met, or missed as declared, values as pinned); 1 otherwise.
/// Throws CaseError for an unknown name or a fault in a file, before anything is solved.
int run_validate(const ValidateOptions &options);

/// True in a process that run_validate started for one load.
bool solves_one_load();

/// What such a process does. Exit status 0 whenever the results were handed over.
int solve_one_load(const ValidateOptions &options, int argc, char **argv);

} // namespace raybend
