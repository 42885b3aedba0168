// The command `raybend textbook`: cases with known answers, solved and compared.
#pragma once
#include <string>
#include <vector>

namespace raybend {

struct TextbookOptions {
  std::vector<std::string> names; ///< of ready cases, or paths ending in .toml
  bool all = false;
  unsigned levels = 0; ///< 0: what each case says
  std::string out;     ///< directory for the results; can be written
  bool vtu = false, pictures = true, quiet = false;
};

/// Names and titles of the ready cases.
std::string textbook_list();

/// Solves the cases side by side, a process each, prints what came of them, writes the results.
/// 0: all met, or missed with a declared reason; 1: missed without one, or not solved.
/// Throws CaseError for an unknown name or a fault in a file, before anything is solved.
int run_textbook(const TextbookOptions &options);

/// True in a process that run_textbook started for one case.
bool solves_one_case();

/// What such a process does; `options` has the one name. Its exit status is 0 whenever the result was handed
/// over.
int solve_one_case(const TextbookOptions &options, int argc, char **argv);

} // namespace raybend
