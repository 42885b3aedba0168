// `raybend best`: the values of a design's keys that leave least strain in the painful ray.
#include "cases/best/best_reader.hpp"
#include "cases/best/best_results.hpp"
#include "cases/commands/requested_case.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/ranks.hpp"
#include <iostream>

namespace raybend {

namespace {

int run(const Request &request) {
  const std::string &path = request.file("file of what is to be chosen");
  keep_on_when_pipe_closes();
  if (under_mpirun())
    throw UsageError("best is no command for mpirun: it uses the cores of one machine");
  const Best best = read_best(path, changes_of(request));
  const BestSample sample = best_sample(best);
  const std::string stem = case_stem(path), out = out_folder(request, stem),
                    store_path = request.text("store", "./" + stem + ".sqlite");
  const bool quiet = request.has("quiet"), shown = !quiet && on_terminal();
  if (!quiet)
    print_warnings(best.base.warnings);
  StudyStore store(store_path, best.study, best_points(best, sample.places), best.base.foot.side);
  if (request.has("again"))
    store.forget_failed();
  const FoundBest found = run_best(best, sample, store, process_count(), shown, !request.has("no-solve"));
  const BestWritten written = write_best(best, found, store, out, !request.has("no-pictures"), shown);
  std::cout << written.summary << std::flush;
  if (!written.missing_pictures.empty())
    std::cerr << "raybend: " << written.missing_pictures << "\n";
  if (shown)
    std::cerr << "\nResults in " << out << ", every run in " << store_path << "\n";
  return written.found && written.missing_pictures.empty() ? 0 : 1;
}

} // namespace

Command best_command() {
  Option out = out_option;
  out.words = "directory for tables, pictures, summary and the case (default: ./<file>-results)";
  return {
      "best",
      "best BEST.toml [options]",
      "choose place, height, material of a support element",
      "Seeks the values of a design's keys, within limits and caps, that leave least strain in the painful "
      "ray: a "
      "sample is solved, a surrogate searched, its optimum solved, until both agree. Every run goes into an "
      "SQLite file as it comes; stopped at any moment, the same command goes on where it was. Ends with the "
      "best "
      "design as a case file, how exact it must be made, tables, pictures and a summary. Exit status: 0 a "
      "design "
      "within all caps was found; 1 there is none, or the run failed; 2 the request is wrong.",
      {out,
       {"store", "FILE", "the SQLite file (default: ./<file>.sqlite)"},
       set_option,
       resolution_option,
       {"no-solve", "", "solve nothing: write tables, pictures and summary of what is there"},
       {"again", "", "solve runs that failed once more"},
       no_pictures_option,
       quiet_option},
      1,
      general_cautions(),
      run};
}

} // namespace raybend
