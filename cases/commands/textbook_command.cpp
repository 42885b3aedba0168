// The command `raybend textbook`: cases with known answers, a process each, solved and compared.
#include "cases/casefile/case_error.hpp"
#include "cases/commands/command.hpp"
#include "cases/lab/textbook_files.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/kept_results.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/ranks.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/lab/textbook_charts.hpp"
#include "postprocess/lab/textbook_tables.hpp"
#include "postprocess/text/file_write.hpp"
#include "solver/versions.hpp"
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <set>

namespace raybend {

namespace {

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

std::string file_text(const std::string &path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

TextbookResult failed(const LoadedCase &c, const std::string &why) {
  TextbookResult result;
  result.name = c.name;
  result.title = c.title;
  result.failure = why;
  return result;
}

std::string textbook_list() {
  std::string text;
  for (const std::string &path : ready_cases()) {
    std::string name = case_name(path);
    name.resize(std::max<std::size_t>(name.size() + 1, 34), ' ');
    text += name + case_title(path) + "\n";
  }
  return text;
}

int run(const Request &request) {
  if (request.has("list")) {
    std::cout << textbook_list();
    return 0;
  }
  keep_on_when_pipe_closes();
  if (under_mpirun())
    throw UsageError("each textbook case is solved in a process of its own; start it without mpirun");
  const bool all = request.has("all"), vtu = request.has("vtu"), quiet = request.has("quiet");
  if (request.arguments.empty() == !all)
    throw UsageError((all ? "--all stands beside names" : "no case named") +
                     std::string("; usage: raybend ") + request.command->usage);
  const std::optional<int> levels = request.number("levels", 1, 6);
  const std::string out = out_folder(request, "textbook");
  std::vector<std::string> paths;
  std::set<std::string> names;
  if (all)
    paths = ready_cases();
  for (const std::string &name : request.arguments)
    paths.push_back(find_case(name));
  for (std::size_t i = 0; i < paths.size();)
    if (names.insert(case_name(paths[i])).second)
      ++i;
    else
      paths.erase(paths.begin() + i);
  std::vector<Fault> faults;
  std::vector<LoadedCase> cases;
  for (const std::string &path : paths)
    try {
      cases.push_back(load_case(path));
      if (!quiet)
        print_warnings(cases.back().warnings);
    } catch (const CaseError &error) {
      faults.insert(faults.end(), error.faults().begin(), error.faults().end());
    }
  if (!faults.empty())
    throw CaseError(faults);

  OutputFolder folder(out);
  KeptResults kept(out);
  std::string no_display;
  std::vector<TextbookResult> results(paths.size());
  const auto made_of = [&](const std::size_t i) { // what a kept result must have come from
    return "levels " + std::to_string(levels.value_or(0)) + (vtu ? ", vtu" : "") + "\n" + file_text(paths[i]);
  };
  const auto kept_file = [&](const std::size_t i) { return kept.folder() + "/" + cases[i].name + ".json"; };
  {
    ProgressLine line(!quiet && on_terminal());
    std::vector<Work> work;
    std::vector<std::size_t> place; // of each work among the cases
    std::vector<bool> done(cases.size(), false);
    for (std::size_t i = 0; i < cases.size(); ++i) {
      LoadedCase &c = cases[i];
      done[i] = kept.done(c.name, made_of(i));
      if (done[i]) {
        results[i] = read_textbook_json(file_text(kept_file(i)));
        continue;
      }
      place.push_back(i);
      work.push_back({c.cost, [&](const Talk &talk) {
                        start_alone();
                        const TextbookResult result = solve_case(c, levels.value_or(c.levels));
                        if (vtu && result.failure.empty())
                          c.body->write_vtu(kept.folder() + "/" + c.name + ".vtu");
                        talk.send(textbook_json(result));
                        c.body.reset();
                        stop_parallel();
                      }});
    }
    std::size_t printed = 0, ended = cases.size() - work.size();
    if (ended > 0)
      std::cout << ended << " of " << cases.size() << " cases are taken over from a run that was stopped\n";
    const auto print = [&] {
      for (; printed < done.size() && done[printed]; ++printed) {
        line.say("");
        std::cout << (paths.size() > 1 ? textbook_line(results[printed]) + "\n"
                                       : textbook_report(results[printed]))
                  << std::flush;
        if (!std::cout)
          throw std::runtime_error("cannot write the output; stopped");
      }
    };
    print();
    const auto progress = [&] {
      line.say(std::to_string(ended) + " of " + std::to_string(cases.size()) + " done");
    };
    Heard heard;
    heard.received = [&](const std::size_t k, const std::string &json) {
      const std::size_t i = place[k];
      results[i] = read_textbook_json(json);
      write_file(kept_file(i), json);
      if (results[i].failure.empty())
        kept.mark_done(cases[i].name, made_of(i));
    };
    heard.finished = [&](const std::size_t k, const std::string &trouble, bool) {
      const std::size_t i = place[k];
      if (!trouble.empty())
        results[i] = failed(cases[i], trouble);
      done[i] = true;
      ++ended;
      print();
      progress();
    };
    progress();
    try {
      run_side_by_side(work, heard);
    } catch (const StoppedBySignal &stop) {
      if (kept.count() == 0)
        throw;
      throw StoppedBySignal("stopped before the end; " + std::to_string(kept.count()) + " of " +
                                std::to_string(paths.size()) +
                                " cases are kept: the same command goes on from there",
                            stop.signal);
    }
    std::optional<Display> display;
    if (!request.has("no-pictures"))
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
    if (vtu)
      for (const auto &file : std::filesystem::directory_iterator(kept.folder()))
        if (file.path().extension() == ".vtu")
          std::filesystem::copy(file.path(), folder.staging());
    folder.write("summary.md", textbook_summary(results) +
                                   (no_display.empty() ? "" : "\n" + no_pictures_words(no_display) + "\n"));
    folder.commit();
    kept.clear();
    line.say("");
    if (!no_display.empty())
      std::cerr << "raybend: " << no_pictures_words(no_display) << "\n";
    std::cout << (paths.size() > 1 ? std::to_string(paths.size()) + " cases in " +
                                         std::to_string(int(line.seconds())) + " s; "
                                   : std::string())
              << "results in " << out << "\n";
  }
  for (const TextbookResult &r : results)
    if (verdict(r) == Verdict::missed || verdict(r) == Verdict::failed)
      return 1;
  return no_display.empty() ? 0 : 1; // 1: not all that was asked for
}

} // namespace

Command textbook_command() {
  Option out = out_option;
  out.words = "directory for the results (default: ./textbook-results)";
  return {
      "textbook",
      "textbook NAME... | --all",
      "solve cases of the textbooks with the same solver; --list names them",
      "Solves cases with known answers on refined meshes and compares. NAME is a name of --list, or a case "
      "file ending in .toml. Exit status: 0 all within their tolerances (or missed with a reason that the "
      "case file gives); 1 otherwise.",
      {{"list", "", "name the ready cases"},
       {"all", "", "all ready cases"},
       {"levels", "N", "number of meshes, each with halved cells (1 to 6)"},
       out,
       {"vtu", "", "write displacement and stress of the finest mesh for ParaView"},
       no_pictures_option,
       quiet_option},
      1000,
      general_cautions(),
      run};
}

} // namespace raybend
