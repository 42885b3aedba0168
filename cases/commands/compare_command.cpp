// The command `raybend compare`: options and words; what it does: compare.hpp.
#include "cases/commands/compare.hpp"
#include "cases/commands/requested_case.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/ranks.hpp"
#include "postprocess/sure/sureness.hpp"
#include "solver/versions.hpp"
#include <exception>

namespace raybend {

namespace {

CompareOptions options_of(const Request &request, const std::string &stem) {
  CompareOptions options;
  options.date = date_for_report();
  options.out = out_folder(request, stem);
  options.pictures = !request.has("no-pictures");
  options.quiet = request.has("quiet");
  if (const auto minutes = request.number("sure", 1, 600))
    options.sure_minutes = *minutes;
  if (const auto feet = request.number("feet", 20, 5000))
    options.sure_feet = *feet;
  if (request.has("feet") && !request.has("sure"))
    throw UsageError("--feet goes with --sure");
  return options;
}

/// One rank reads, checks and speaks; the others get the case's text from it.
int run_on_ranks(const Request &request) {
  if (request.has("sure"))
    throw UsageError("--sure starts processes of its own; run it without mpirun");
  start_parallel();
  int status = 2;
  std::exception_ptr fault;
  try {
    std::string text, failure;
    CompareOptions options;
    try {
      if (is_root()) {
        const Case given = requested_case(request);
        options = options_of(request, case_stem(given.path));
        if (!options.quiet)
          print_warnings(given.warnings);
        text = given.source_text;
      }
    } catch (...) {
      fault = std::current_exception();
    }
    if (from_root(fault ? 1 : 0) == 0) {
      text = from_root(text);
      status = compare_on_ranks(requested_case(request, &text), options);
    }
  } catch (...) { // of all ranks alike
    fault = std::current_exception();
  }
  stop_parallel();
  if (fault)
    std::rethrow_exception(fault);
  return status;
}

int run(const Request &request) {
  keep_on_when_pipe_closes();
  if (under_mpirun())
    return run_on_ranks(request);
  const Case given = requested_case(request);
  const CompareOptions options = options_of(request, case_stem(given.path));
  if (!options.quiet)
    print_warnings(given.warnings);
  return compare_in_processes(given, options);
}

} // namespace

Command compare_command() {
  return {
      "compare",
      "compare CASE.toml [options]",
      "solve every design and write the comparison",
      "Solves every design of the case, with and without its support elements, and writes the comparison.",
      {out_option,
       set_option,
       resolution_option,
       no_pictures_option,
       quiet_option,
       {"sure", "MINUTES",
        "say how often the answer would come out otherwise, in at most so many minutes more; Ctrl-C then "
        "says "
        "what is known"},
       {"feet", "N", "how many feet --sure draws at most (default 400)"}},
      1,
      general_cautions(),
      run};
}

} // namespace raybend
