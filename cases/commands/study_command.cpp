// `raybend study`: a case solved at many values; the store, the tables, what they say.
#include "cases/commands/requested_case.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/ranks.hpp"
#include "cases/study/run_study.hpp"
#include "cases/study/study_results.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cstdio>
#include <iostream>

namespace raybend {

namespace {

struct Share {
  int k = 1, n = 1;
};

Share share_of_request(const Request &request) {
  Share share;
  if (!request.has("share"))
    return share;
  const std::string words = request.text("share", "");
  int end = 0;
  if (std::sscanf(words.c_str(), "%d/%d%n", &share.k, &share.n, &end) != 2 ||
      end != static_cast<int>(words.size()) || share.k < 1 || share.n < share.k || share.n > 10000)
    throw UsageError("--share: found " + printable(words) +
                     "; allowed K/N, as 3/8: K from 1 to N, N up to 10000");
  return share;
}

std::string plan_words(const ReadStudy &read, const StudyUnits &all) {
  return std::to_string(read.points.size()) + " points, " + std::to_string(all.runs) + " runs, " +
         std::to_string(all.units.size()) + " solves";
}

int run(const Request &request) {
  const std::string &path = request.file("study file");
  keep_on_when_pipe_closes();
  Share share = share_of_request(request);
  unsigned workers = process_count();
  if (under_mpirun()) { // each rank is a job of its own
    if (request.has("share") || request.has("store"))
      throw UsageError(
          "under mpirun each rank solves its own share into a store of its own; leave --share and "
          "--store away");
    share = {environment_rank() + 1, environment_size()};
    workers = 1;
    leave_mpirun();
  }
  const ReadStudy read = read_study(path, changes_of(request));
  const StudyUnits all = units_of(read);
  if (request.has("list")) {
    std::cout << plan_table(read) << std::flush;
    std::cerr << plan_words(read, all) << "\n";
    return 0;
  }
  const std::string stem = case_stem(path);
  const std::string out = share.n > 1 ? "" : out_folder(request, stem);
  const std::string ending =
      share.n > 1 ? "-share-" + std::to_string(share.k) + "-of-" + std::to_string(share.n) : "";
  const std::string store_path = request.text("store", "./" + stem + ending + ".sqlite");
  const bool quiet = request.has("quiet"), shown = !quiet && on_terminal();
  if (!quiet)
    print_warnings(read.base.warnings);
  StudyStore store(store_path, read.study, read.points, read.base.foot.side);
  for (const std::string &other : request.texts("merge")) {
    const std::size_t fresh = store.merge(other);
    if (!quiet)
      std::cerr << "raybend: " << fresh << " new runs from " << other << "\n";
  }
  if (request.has("again"))
    store.forget_failed();
  const StudyUnits todo = share.n > 1 ? share_of(all, share.k, share.n) : all;
  if (!request.has("no-solve"))
    run_study(read, todo, store, workers, shown);
  const std::size_t there = store.runs().size();
  if (share.n > 1) {
    std::cout << there << " runs in " << store_path << "; when all shares are done: raybend study " << path
              << " --merge FILE for each of their stores\n";
    return 0;
  }
  const StudyReport report = write_study(read, store, all.runs, out, !request.has("no-pictures"), shown);
  std::cout << report.summary << std::flush;
  if (!report.missing_pictures.empty())
    std::cerr << "raybend: " << report.missing_pictures << "\n";
  if (shown)
    std::cerr << "\nResults in " << out << ", every run in " << store_path << "\n";
  const bool all_done = report.done == all.runs;
  return all_done && report.missing_pictures.empty() ? 0 : 1;
}

} // namespace

Command study_command() {
  Option out = out_option;
  out.words = "directory for tables, pictures and summary (default: ./<study>-results)";
  return {
      "study",
      "study STUDY.toml [options]",
      "solve a case at many values of its keys",
      "Solves the case of a study file at every point of its plan and keeps each run in an SQLite file as it "
      "comes. Stopped at any moment, the same command goes on where it was. Ends with a tidy table "
      "(runs.csv), "
      "pictures and a summary in words. Exit status: 0 every run is done; 1 some failed, or the disk is "
      "full; "
      "2 the request is wrong.",
      {out,
       {"store", "FILE", "the SQLite file (default: ./<study>.sqlite)"},
       set_option,
       resolution_option,
       {"share", "K/N",
        "solve the K-th of N parts only, into a store of its own (job arrays; mpirun -n N does this for each "
        "rank)"},
       {"merge", "FILE", "take the runs of another store of this study first; may be repeated", true},
       {"no-solve", "", "solve nothing: write tables, pictures and summary of what is there"},
       {"again", "", "solve runs that failed once more"},
       {"list", "", "print the points of the plan and solve nothing"},
       no_pictures_option,
       quiet_option},
      1,
      general_cautions(),
      run};
}

} // namespace raybend
