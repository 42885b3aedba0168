#include "cases/commands/textbook.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/lab/textbook_files.hpp"
#include "cases/run/case_processes.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/kept_results.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/workers.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/lab/textbook_charts.hpp"
#include "postprocess/lab/textbook_tables.hpp"
#include "postprocess/text/file_write.hpp"
#include "solver/versions.hpp"
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <set>
#include <sstream>

namespace raybend {

namespace {

constexpr const char *result_variable = "RAYBEND_CASE_RESULT";

std::string file_text(const std::string &path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

TextbookResult solve_case(LoadedCase &c, unsigned levels) {
  TextbookResult result;
  result.name = c.name;
  result.title = c.title;
  result.source = c.source;
  result.quantities = c.body->quantities();
  const auto start = std::chrono::steady_clock::now();
  try {
    for (unsigned level = 0; level < levels; ++level)
      result.levels.push_back(c.body->solve(level));
    result.curves = c.body->curves();
  } catch (const std::exception &error) {
    result.failure = "level " + std::to_string(result.levels.size()) + ": " + error.what();
  }
  result.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return result;
}

TextbookResult failed(const std::string &path, const std::string &why) {
  TextbookResult result;
  result.name = case_name(path);
  result.title = case_title(path);
  result.failure = why;
  return result;
}

/// Solves the cases side by side, a process each, but those that a stopped run has left; prints each in its turn.
std::vector<TextbookResult> solve_cases(const TextbookOptions &options, const std::vector<std::string> &paths,
                                        const std::vector<double> &costs, KeptResults &kept,
                                        ProgressLine &line) {
  std::vector<TextbookResult> results(paths.size());
  std::vector<CaseProcess> jobs;
  std::vector<std::size_t> place; // of each job among the cases
  std::vector<bool> done(paths.size(), false);
  std::size_t printed = 0;
  const auto made_of = [&](const std::size_t i) {
    return "levels " + std::to_string(options.levels) + (options.vtu ? ", vtu" : "") + "\n" +
           file_text(paths[i]);
  };
  const auto result_file = [&](const std::size_t i) {
    return kept.folder() + "/" + case_name(paths[i]) + ".json";
  };
  const auto print = [&] {
    for (; printed < paths.size() && done[printed]; ++printed) {
      line.say("");
      std::cout << (paths.size() > 1 ? textbook_line(results[printed]) + "\n"
                                     : textbook_report(results[printed]))
                << std::flush;
      if (!std::cout)
        throw std::runtime_error("cannot write the output; stopped");
    }
  };
  for (std::size_t i = 0; i < paths.size(); ++i) {
    done[i] = kept.done(case_name(paths[i]), made_of(i));
    if (done[i]) {
      results[i] = read_textbook_json(file_text(result_file(i)));
      continue;
    }
    CaseProcess job;
    job.name = case_name(paths[i]);
    job.words = {"textbook", std::filesystem::absolute(paths[i]).string()};
    if (options.levels)
      job.words.insert(job.words.end(), {"--levels", std::to_string(options.levels)});
    if (options.vtu)
      job.words.push_back("--vtu");
    job.environment = {{result_variable, result_file(i)}, {"OPENBLAS_NUM_THREADS", "1"}};
    job.cost = costs[i];
    jobs.push_back(job);
    place.push_back(i);
  }
  if (kept.count() > 0)
    std::cout << kept.count() << " of " << paths.size()
              << " cases are taken over from a run that was stopped\n";
  print();
  try {
    run_side_by_side(
        jobs, [&](const std::string &words) { line.say(words); },
        [&](const std::size_t job, const std::string &trouble) {
          const std::size_t i = place[job];
          const std::string text = file_text(result_file(i));
          const bool good = trouble.empty() && !text.empty();
          results[i] =
              good ? read_textbook_json(text) : failed(paths[i], trouble.empty() ? "no result" : trouble);
          if (good)
            kept.mark_done(case_name(paths[i]), made_of(i));
          done[i] = true;
          print();
        });
  } catch (const StoppedBySignal &stop) {
    if (kept.count() == 0)
      throw;
    throw StoppedBySignal("stopped before the end; " + std::to_string(kept.count()) + " of " +
                              std::to_string(paths.size()) +
                              " cases are kept: the same command goes on from there",
                          stop.signal);
  }
  return results;
}

/// Puts all files in place. Returns why there are no pictures, "" if there are, or need not be.
std::string write_results(const TextbookOptions &options, const std::vector<TextbookResult> &results,
                          const KeptResults &kept, OutputFolder &folder, ProgressLine &line) {
  std::string no_display;
  std::optional<Display> display;
  if (options.pictures)
    no_display = why_no_display(display);
  for (const TextbookResult &r : results) {
    folder.write(r.name + ".txt", textbook_report(r));
    folder.write(r.name + ".csv", textbook_csv(r));
    folder.write(r.name + ".json", textbook_json(r));
    if (display) {
      line.say("pictures of " + r.name);
      write_textbook_charts(r, folder.staging());
    }
  }
  if (options.vtu)
    for (const auto &file : std::filesystem::directory_iterator(kept.folder()))
      if (file.path().extension() == ".vtu")
        std::filesystem::copy(file.path(), folder.staging());
  folder.write("summary.md", textbook_summary(results) +
                                 (no_display.empty() ? "" : "\n" + no_pictures_words(no_display) + "\n"));
  folder.commit();
  return no_display;
}

} // namespace

std::string textbook_list() {
  std::string text;
  for (const std::string &path : ready_cases()) {
    std::string name = case_name(path);
    name.resize(std::max<std::size_t>(name.size() + 1, 34), ' ');
    text += name + case_title(path) + "\n";
  }
  return text;
}

bool solves_one_case() {
  return std::getenv(result_variable) != nullptr;
}

int solve_one_case(const TextbookOptions &options, int argc, char **argv) {
  start_parallel(argc, argv);
  {
    LoadedCase c = load_case(options.names.front());
    const TextbookResult result = solve_case(c, options.levels ? options.levels : c.levels);
    const std::string path = std::getenv(result_variable);
    if (options.vtu && result.failure.empty())
      c.body->write_vtu(std::filesystem::path(path).replace_extension(".vtu").string());
    write_file(path, textbook_json(result));
  }
  stop_parallel();
  return 0;
}

int run_textbook(const TextbookOptions &options) {
  std::vector<std::string> paths;
  std::set<std::string> names;
  if (options.all)
    paths = ready_cases();
  for (const std::string &name : options.names)
    paths.push_back(find_case(name));
  for (std::size_t i = 0; i < paths.size();)
    if (names.insert(case_name(paths[i])).second)
      ++i;
    else
      paths.erase(paths.begin() + i);
  std::vector<Fault> faults;
  std::vector<double> costs;
  for (const std::string &path : paths)
    try {
      const LoadedCase c = load_case(path);
      costs.push_back(c.cost);
      for (const std::string &warning : c.warnings)
        if (!options.quiet)
          std::cerr << "raybend: warning: " << warning << "\n";
    } catch (const CaseError &error) {
      faults.insert(faults.end(), error.faults().begin(), error.faults().end());
    }
  if (!faults.empty())
    throw CaseError(faults);

  OutputFolder folder(options.out);
  KeptResults kept(options.out);
  ProgressLine line(!options.quiet && on_terminal());
  const std::vector<TextbookResult> results = solve_cases(options, paths, costs, kept, line);
  const std::string no_display = write_results(options, results, kept, folder, line);
  kept.clear();
  line.say("");
  if (!no_display.empty())
    std::cerr << "raybend: " << no_pictures_words(no_display) << "\n";
  std::cout << (paths.size() > 1 ? std::to_string(paths.size()) + " cases in " +
                                       std::to_string(int(line.seconds())) + " s; "
                                 : std::string())
            << "results in " << options.out << "\n";
  for (const TextbookResult &r : results)
    if (verdict(r) == Verdict::missed || verdict(r) == Verdict::failed)
      return 1;
  return no_display.empty() ? 0 : 1; // 1: not all that was asked for
}

} // namespace raybend
