// `raybend validate`: which rows, their solves side by side, tables, pins.
#include "cases/commands/validate.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/lab/textbook_files.hpp"
#include "cases/published/row_runs.hpp"
#include "cases/run/case_processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/workers.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/lab/validation_tables.hpp"
#include "postprocess/text/file_write.hpp"
#include "solver/gather_results.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

namespace raybend {

namespace {

constexpr const char *load_variable = "RAYBEND_LOAD", *result_variable = "RAYBEND_LOAD_RESULT";

/// All rows that are asked for, each once. Throws CaseError with every fault.
std::vector<PublishedRow> read_rows(const ValidateOptions &options) {
  std::vector<std::string> paths;
  if (options.all)
    paths = ready_cases("validation");
  for (const std::string &name : options.names)
    if (const std::string path = find_case(name, "validation");
        std::find(paths.begin(), paths.end(), path) == paths.end())
      paths.push_back(path);
  std::vector<PublishedRow> rows;
  std::vector<Fault> faults;
  for (const std::string &path : paths)
    try {
      rows.push_back(read_published_row(path, options.resolution));
    } catch (const CaseError &error) {
      faults.insert(faults.end(), error.faults().begin(), error.faults().end());
    }
  if (!faults.empty())
    throw CaseError(faults);
  return rows;
}

std::map<std::string, DesignResult> handed_over(const std::string &path, const std::string &trouble,
                                                const LoadToSolve &load) {
  std::string why = trouble;
  if (why.empty())
    try {
      std::ifstream in(path, std::ios::binary);
      std::ostringstream bytes;
      bytes << in.rdbuf();
      std::filesystem::remove(path);
      return unpacked_results(bytes.str());
    } catch (const std::exception &error) {
      why = std::string("its results cannot be read back: ") + error.what();
    }
  std::map<std::string, DesignResult> none;
  for (std::size_t d = 0; d < load.designs.size(); ++d)
    none[result_key(d, 0)].message = why;
  return none;
}

/// The results of every load, a process each.
std::vector<std::map<std::string, DesignResult>> solve_all(const ValidateOptions &options,
                                                           const std::vector<PublishedRow> &rows,
                                                           const SolvesOfRows &solves,
                                                           const std::string &folder) {
  std::vector<CaseProcess> jobs;
  const double further = 0.35; // cost of a further design over that of a load's first (measured at standard)
  for (const LoadToSolve &load : solves.loads) {
    CaseProcess job;
    const std::string number = std::to_string(jobs.size() + 1);
    job.name = "load " + number + " of " + std::to_string(solves.loads.size());
    job.words = {"validate"};
    for (const PublishedRow &row : rows)
      job.words.push_back(std::filesystem::absolute(row.path).string());
    if (!options.resolution.empty())
      job.words.insert(job.words.end(), {"--resolution", options.resolution});
    job.environment = {{load_variable, load.name},
                       {result_variable, folder + "/load-" + number},
                       {"OPENBLAS_NUM_THREADS", "1"}};
    job.cost = load.foot_and_loads.day.size() * (1 + further * (load.designs.size() - 1));
    jobs.push_back(job);
  }
  std::vector<std::map<std::string, DesignResult>> results(jobs.size());
  ProgressLine line(!options.quiet && on_terminal());
  run_side_by_side(
      jobs, [&](const std::string &running) { line.say(running); },
      [&](const std::size_t i, const std::string &trouble) {
        results[i] = handed_over(jobs[i].environment[1].second, trouble, solves.loads[i]);
      });
  return results;
}

} // namespace

std::string validation_list() {
  return case_list("validation");
}

bool solves_one_load() {
  return std::getenv(load_variable) != nullptr;
}

int solve_one_load(const ValidateOptions &options, int argc, char **argv) {
  const std::vector<LoadToSolve> loads = solves_of(read_rows(options)).loads;
  const std::string name = std::getenv(load_variable);
  const auto load =
      std::find_if(loads.begin(), loads.end(), [&](const LoadToSolve &l) { return l.name == name; });
  if (load == loads.end())
    throw std::runtime_error("the rows' files were changed after the start");
  start_parallel(argc, argv);
  const std::map<std::string, DesignResult> results = solve_load(*load);
  stop_parallel();
  write_file(std::getenv(result_variable), packed_results(results));
  return 0;
}

int run_validate(const ValidateOptions &options) {
  std::vector<PublishedRow> rows = read_rows(options);
  OutputFolder folder(options.out);
  const SolvesOfRows solves = solves_of(rows);
  put_values(rows, solves, solve_all(options, rows, solves, folder.staging()));
  std::vector<ValidationRow> shown;
  bool all_as_stated = true;
  for (PublishedRow &row : rows) {
    std::cout << validation_line(row.shown) << "\n";
    if (options.pin)
      for (ValidationQuantity &q : row.shown.quantities)
        q.pinned = q.value;
    all_as_stated &= as_stated(row.shown);
    shown.push_back(row.shown);
  }
  folder.write("summary.md", validation_summary(shown));
  folder.write("rows.csv", validation_csv(shown));
  folder.write("rows.json", validation_json(shown));
  folder.commit();
  if (options.pin)
    for (const PublishedRow &row : rows)
      write_file(row.path, with_new_pins(read_case_text(row.path), row));
  std::cout << rows.size() << " rows, "
            << (all_as_stated ? "all as their files say" : "not all as their files say") << "; results in "
            << options.out << "\n";
  return all_as_stated ? 0 : 1;
}

} // namespace raybend
