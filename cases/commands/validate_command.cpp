// `raybend validate`: which rows, their solves side by side, tables, pins.
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/commands/command.hpp"
#include "cases/lab/textbook_files.hpp"
#include "cases/published/row_runs.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/ranks.hpp"
#include "cases/words/words.hpp"
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

/// All rows that are asked for, each once. Throws CaseError with every fault.
std::vector<PublishedRow> read_rows(const Request &request) {
  std::vector<std::string> paths;
  if (request.has("all"))
    paths = ready_cases("validation");
  for (const std::string &name : request.arguments)
    if (const std::string path = find_case(name, "validation");
        std::find(paths.begin(), paths.end(), path) == paths.end())
      paths.push_back(path);
  std::vector<PublishedRow> rows;
  std::vector<Fault> faults;
  for (const std::string &path : paths)
    try {
      rows.push_back(read_published_row(path, request.text("resolution", "")));
    } catch (const CaseError &error) {
      faults.insert(faults.end(), error.faults().begin(), error.faults().end());
    }
  if (!faults.empty())
    throw CaseError(faults);
  return rows;
}

/// The results of every load, a process each.
std::vector<LoadResults> solve_all(const SolvesOfRows &solves, const bool quiet) {
  const double further = 0.35; // cost of a further design over that of a load's first (measured at standard)
  std::vector<Work> work;
  for (const LoadToSolve &load : solves.loads)
    work.push_back(
        {load.foot_and_loads.day.size() * (1 + further * (load.designs.size() - 1)), [&](const Talk &talk) {
           start_alone();
           for (const auto &[design, step] : solve_load(load))
             talk.send(packed_result(std::to_string(design), step));
           stop_parallel();
         }});
  std::vector<std::map<std::string, StepResult>> received(work.size());
  std::vector<LoadResults> results(work.size());
  std::size_t ended = 0;
  ProgressLine line(!quiet && on_terminal());
  const auto progress = [&] {
    line.say(std::to_string(ended) + " of " + std::to_string(work.size()) + " loads done");
  };
  Heard heard;
  heard.received = [&](const std::size_t i, const std::string &bytes) { unpack_result(bytes, received[i]); };
  heard.finished = [&](const std::size_t i, const std::string &trouble, bool) {
    for (std::size_t d = 0; d < solves.loads[i].designs.size(); ++d) {
      const auto it = received[i].find(std::to_string(d));
      results[i][d] = it != received[i].end() ? it->second : StepResult(1);
      if (it == received[i].end())
        results[i][d].front().message = trouble;
    }
    ++ended;
    progress();
  };
  progress();
  run_side_by_side(work, heard);
  return results;
}

int run(const Request &request) {
  if (request.has("list")) {
    std::cout << case_list("validation");
    return 0;
  }
  keep_on_when_pipe_closes();
  if (under_mpirun())
    throw UsageError("each load is solved in a process of its own; start it without mpirun");
  const bool all = request.has("all"), pin = request.has("pin");
  if (request.arguments.empty() == !all)
    throw UsageError((all ? "--all stands beside names" : "no row named") + std::string("; usage: raybend ") +
                     request.command->usage);
  const std::string resolution = request.text("resolution", "");
  const std::vector<std::string> &known = catalogue_row("mesh.resolution").choices;
  if (!resolution.empty() && std::find(known.begin(), known.end(), resolution) == known.end())
    throw UsageError("--resolution: found \"" + printable(resolution) + "\"; allowed " + list_text(known));
  if (pin && !resolution.empty())
    throw UsageError("--pin stands beside --resolution; values are pinned at each row's own resolution");
  const std::string out = out_folder(request, "validation");
  std::vector<PublishedRow> rows = read_rows(request);
  OutputFolder folder(out);
  const SolvesOfRows solves = solves_of(rows);
  put_values(rows, solves, solve_all(solves, request.has("quiet")));
  std::vector<ValidationRow> shown;
  bool all_as_stated = true;
  for (PublishedRow &row : rows) {
    std::cout << validation_line(row.shown) << "\n";
    if (pin)
      for (ValidationQuantity &q : row.shown.quantities)
        q.pinned = q.value;
    all_as_stated &= as_stated(row.shown);
    shown.push_back(row.shown);
  }
  folder.write("summary.md", validation_summary(shown));
  folder.write("rows.csv", validation_csv(shown));
  folder.write("rows.json", validation_json(shown));
  folder.commit();
  if (pin)
    for (const PublishedRow &row : rows)
      write_file(row.path, with_new_pins(read_case_text(row.path), row));
  std::cout << rows.size() << " rows, "
            << (all_as_stated ? "all as their files say" : "not all as their files say") << "; results in "
            << out << "\n";
  return all_as_stated ? 0 : 1;
}

} // namespace

Command validate_command() {
  Option out = out_option;
  out.words = "directory for the results (default: ./validation-results)";
  return {
      "validate",
      "validate NAME... | --all",
      "solve what was measured and published; --list names the rows",
      "Solves the foot as it was measured and sets what it finds against published values. NAME is a name of "
      "--list, or a row's file ending in .toml. Exit status: 0 every row is as its file says (met, or missed "
      "with a reason and inside its bounds; values as pinned); 1 otherwise.",
      {{"list", "", "name the rows"},
       {"all", "", "all rows"},
       {"resolution", "WORD",
        "coarse, standard or fine in place of the rows' own; pinned values are then not compared"},
       out,
       {"pin", "", "write the values found into the rows' files, after a person has looked at them"},
       quiet_option},
      1000,
      general_cautions(),
      run};
}

} // namespace raybend
