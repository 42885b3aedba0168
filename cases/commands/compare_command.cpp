// The command `raybend compare`: options and words; what it does: compare.hpp.
#include "cases/commands/compare.hpp"
#include "cases/commands/requested_case.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/workers.hpp"

namespace raybend {

namespace {

int run(const Request &request) {
  keep_on_when_pipe_closes();
  const Case given = requested_case(request);
  CompareOptions options;
  options.date = date_for_report();
  options.out = started_by_us() ? request.text("out", "./" + case_stem(given.path) + "-results")
                                : out_folder(request, case_stem(given.path));
  options.pictures = !request.has("no-pictures");
  options.quiet = request.has("quiet");
  options.words = request.words;
  if (!options.quiet && !started_by_us())
    print_warnings(given.warnings);
  return run_compare(given, options);
}

} // namespace

Command compare_command() {
  return {
      "compare",
      "compare CASE.toml [options]",
      "solve every design and write the comparison",
      "Solves every design of the case, with and without its support elements, and writes the comparison.",
      {out_option, set_option, resolution_option, no_pictures_option, quiet_option},
      1,
      general_cautions(),
      run};
}

} // namespace raybend
