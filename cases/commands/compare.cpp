// The command `raybend compare`: from a case to its results.
#include "cases/commands/compare.hpp"
#include "cases/commands/case_report.hpp"
#include "cases/forefoot/design_words.hpp"
#include "cases/forefoot/resolved.hpp"
#include "cases/run/forecast.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/kept_results.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/ranks.hpp"
#include "cases/run/solve_in_turn.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/run/step_solver.hpp"
#include "cases/sure/sample_feet.hpp"
#include "meshing/forefoot_mesh.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/compare/step.hpp"
#include "postprocess/files/day_report.hpp"
#include "postprocess/files/fields.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/files/report.hpp"
#include "postprocess/sure/sure_tables.hpp"
#include "postprocess/text/file_write.hpp"
#include "postprocess/text/text_table.hpp"
#include "solver/forefoot_model.hpp"
#include "solver/gather_results.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <iterator>
#include <map>
#include <memory>
#include <mpi.h>
#include <set>
#include <sstream>
#include <stdexcept>
#include <utility>

namespace raybend {

namespace {

int rank_in(MPI_Comm comm) {
  int rank = 0;
  MPI_Comm_rank(comm, &rank);
  return rank;
}

/// The ranks that solve a task together, while others solve other tasks: as many groups as there are tasks, if
/// there are that many ranks. A group of one rank wastes nothing on messages and on the coarsest level, which a
/// group's ranks all factorize.
class RankGroup {
public:
  explicit RankGroup(const std::size_t tasks) {
    int ranks = 1;
    MPI_Comm_size(MPI_COMM_WORLD, &ranks);
    const int rank = rank_in(MPI_COMM_WORLD);
    groups = std::min<int>(ranks, tasks);
    group = rank * groups / ranks;
    MPI_Comm_split(MPI_COMM_WORLD, group, rank, &comm);
  }
  ~RankGroup() { MPI_Comm_free(&comm); }
  RankGroup(const RankGroup &) = delete;
  RankGroup &operator=(const RankGroup &) = delete;

  int groups = 1, group = 0;
  MPI_Comm comm;
};

void say_trouble(const std::string &words) {
  std::cerr << "raybend: " << one_line(words) << std::endl;
}

/// What a task is called in the line of progress.
std::string task_words(const Case &c, const std::vector<SolveTask> &tasks, const std::size_t i) {
  const DayActivity &activity = c.day[tasks[i].activity];
  return (c.day.size() > 1 ? activity.name + ", " : "") +
         (activity.activity.barefoot ? "barefoot" : tasks[i].design.name) +
         (tasks[i].with_support ? "" : " without support") + " (" + std::to_string(i + 1) + " of " +
         std::to_string(tasks.size()) + "): ";
}

/// Fields for ParaView of whatever has this result.
void write_task_fields(const Case &c, const SolveTask &task, const ForefootModel &model,
                       const std::string &staging) {
  for (std::size_t a = 0; a < c.day.size(); ++a)
    for (const Design &design : c.designs)
      if (solve_key(c, a, design) == task.key)
        write_fields(model.state(), staging, design.name + (c.day.size() > 1 ? file_ending(c.day[a]) : ""));
}

using Say = std::function<void(const std::string &)>;
using Results = std::map<std::string, StepResult>;       ///< by SolveTask::key
using References = std::map<std::size_t, StepReference>; ///< by activity

/// Solves the tasks at the places `share` on the ranks of `comm`; `found` hears each result as it comes. An activity that
/// has none of the `references` solves its own.
void solve_share_of(const Case &c, const std::vector<SolveTask> &tasks, const std::vector<std::size_t> &share,
                    const References &references, MPI_Comm comm, const std::string &staging, const Say &say,
                    const std::function<void(const std::string &, const StepResult &)> &found) {
  std::unique_ptr<StepSolver> solver; // of the activity at hand
  SolveSteps steps;
  steps.new_model = [&](const std::size_t activity) {
    solver.reset(); // two would take twice the memory
    solver = std::make_unique<StepSolver>(c, activity, comm);
    if (const auto it = references.find(activity); it != references.end())
      solver->take(it->second);
  };
  steps.solve = [&](const std::size_t i) {
    return solver->solve(
        tasks[i].design, [&](const std::string &l) { say(task_words(c, tasks, i) + l); },
        [&](const ForefootModel &model) {
          say(task_words(c, tasks, i) + "writing fields");
          write_task_fields(c, tasks[i], model, staging);
        });
  };
  steps.found = found;
  solve_in_turn(tasks, share, comm, steps);
}

bool all_converged(const StepResult &step) {
  return std::all_of(step.begin(), step.end(), [](const DesignResult &r) { return r.converged; });
}

std::string file_text(const std::string &path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// Pieces of work side by side; the first that is still at work speaks. `lost` hears of a piece that was killed. Throws
/// what went wrong in any other way, as a full disk does.
void solve_side_by_side(const std::vector<std::function<void(const Talk &)>> &pieces, ProgressLine &line,
                        const std::function<void(const std::string &bytes)> &received,
                        const std::function<void(std::size_t, const std::string &trouble)> &lost) {
  std::vector<Work> work;
  for (const auto &piece : pieces)
    work.push_back({0, [&piece](const Talk &talk) {
                      start_alone();
                      piece(talk);
                      stop_parallel();
                    }});
  std::size_t shown = 0;
  std::vector<bool> ended(pieces.size(), false);
  Heard heard;
  heard.said = [&](const std::size_t k, const std::string &words) {
    if (k == shown)
      line.say(words);
  };
  heard.received = [&](std::size_t, const std::string &bytes) { received(bytes); };
  heard.finished = [&](const std::size_t k, const std::string &trouble, const bool killed) {
    ended[k] = true;
    while (shown < ended.size() && ended[shown])
      ++shown;
    if (!trouble.empty() && !killed)
      throw std::runtime_error(trouble);
    if (killed)
      lost(k, trouble);
  };
  run_side_by_side(work, heard);
}

/// The instants of each activity, in order: each activity in a process of its own.
References choose_instants(const Case &c, const std::vector<std::size_t> &activities, ProgressLine &line) {
  References chosen;
  std::vector<std::function<void(const Talk &)>> pieces;
  for (const std::size_t a : activities)
    pieces.push_back([&c, a](const Talk &talk) {
      const StepReference r = StepSolver(c, a, MPI_COMM_SELF).choose_instants([&](const std::string &words) {
        talk.say("choosing the instants: " + words);
      });
      std::string bytes = std::to_string(a) + " " + std::to_string(r.worst);
      for (const std::size_t i : r.instants)
        bytes += " " + std::to_string(i);
      talk.send(bytes);
    });
  solve_side_by_side(
      pieces, line,
      [&](const std::string &bytes) {
        std::istringstream words(bytes);
        std::size_t a = 0, instant = 0;
        words >> a;
        words >> chosen[a].worst;
        while (words >> instant)
          chosen[a].instants.push_back(instant);
      },
      [](std::size_t, const std::string &) {});
  return chosen;
}

/// The reference of every activity that has several instants and is among the tasks, its instants shared out over the
/// processes: taken from `solved` where it is there, else put there, with its fields in `folder`. What a killed process
/// had in hand is left out.
References solve_references(const Case &c, const std::vector<SolveTask> &tasks, Results &solved,
                            const std::string &folder, const TimeForecast &time, ProgressLine &line) {
  References references;
  std::vector<std::size_t> open;
  const Design &design = reference_design(c);
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    const auto at_work = [a](const SolveTask &task) { return task.activity == a; };
    if (c.day[a].course.size() < 2 || std::none_of(tasks.begin(), tasks.end(), at_work))
      continue;
    if (const auto it = solved.find(solve_key(c, a, design)); it != solved.end())
      references[a] = reference_of(c, a, it->second);
    else
      open.push_back(a);
  }
  const References chosen = choose_instants(c, open, line);
  line.reached(time.choosing);
  std::vector<std::pair<std::size_t, std::size_t>> wanted; // activity, place in the course
  for (const auto &[a, reference] : chosen)
    for (const std::size_t i : reference.instants)
      wanted.emplace_back(a, i);
  const std::size_t shares = std::min<std::size_t>(process_count(), wanted.size());
  std::vector<std::function<void(const Talk &)>> pieces;
  for (std::size_t k = 0; k < shares; ++k)
    pieces.push_back([&, k](const Talk &talk) {
      for (std::size_t w = k * wanted.size() / shares; w < (k + 1) * wanted.size() / shares;) {
        const std::size_t a = wanted[w].first;
        StepSolver solver(c, a, MPI_COMM_SELF);
        for (; w < (k + 1) * wanted.size() / shares && wanted[w].first == a; ++w) {
          const StepResult result = solver.solve_reference(
              chosen.at(a), {wanted[w].second},
              [&](const std::string &words) { talk.say("the reference: " + words); },
              [&](const ForefootModel &model) {
                write_task_fields(c, {a, design, true, solve_key(c, a, design)}, model, folder);
              });
          talk.send(packed_result(std::to_string(w), result));
        }
      }
    });
  Results instants;
  solve_side_by_side(
      pieces, line, [&](const std::string &bytes) { unpack_result(bytes, instants); },
      [](std::size_t, const std::string &) {});
  std::set<std::size_t> lost;
  for (std::size_t w = 0; w < wanted.size(); ++w)
    if (instants.count(std::to_string(w)) == 0)
      lost.insert(wanted[w].first);
  for (std::size_t w = 0; w < wanted.size(); ++w)
    if (const std::size_t a = wanted[w].first; lost.count(a) == 0) {
      StepResult &result = references.insert({a, chosen.at(a)}).first->second.result;
      result.push_back(instants[std::to_string(w)].front());
      result.back().design = design.name;
      result.back().with_support = true;
    }
  for (const std::size_t a : open)
    if (const auto it = references.find(a); it != references.end())
      solved[solve_key(c, a, design)] = it->second.result;
  return references;
}

/// Every result, solved in processes of their own or taken over from a run that was stopped. A process that is killed
/// takes only what it had not finished with it. Results and fields stand in `kept` as soon as they are there. Throws what
/// stops them all, as a full disk does.
Results solve_in_processes(const Case &c, KeptResults &kept, const bool tell_time, ProgressLine &line) {
  const std::vector<SolveTask> all = solve_tasks(c);
  std::vector<SolveTask> tasks; // to be solved
  Results solved;
  std::map<std::string, std::string> job; // by key
  const std::string &folder = kept.folder();
  const auto made_of = [&](const std::string &key) { return key + "\n" + resolved_toml(c); };
  for (const SolveTask &task : all) {
    job[task.key] = "solve-" + std::to_string(job.size() + 1);
    if (kept.done(job[task.key], made_of(task.key)))
      unpack_result(file_text(folder + "/" + job[task.key] + ".result"), solved);
    else
      tasks.push_back(task);
  }
  if (!solved.empty())
    std::cerr << "raybend: " << solved.size() << " of " << all.size()
              << " solves are taken over from a run that was stopped\n";
  const auto keep = [&](const std::string &key, const std::string &bytes) {
    if (!all_converged(solved[key]))
      return;
    write_file(folder + "/" + job[key] + ".result", bytes);
    kept.mark_done(job[key], made_of(key));
  };
  const TimeForecast time = tell_time && solved.empty() ? time_forecast(c, process_count()) : TimeForecast();
  line.expect(time.total());
  try {
    const References references = solve_references(c, tasks, solved, folder, time, line);
    line.reached(time.choosing + time.references);
    for (auto task = tasks.begin(); task != tasks.end();)
      if (const auto it = solved.find(task->key); it != solved.end()) {
        keep(it->first, packed_result(it->first, it->second));
        task = tasks.erase(task);
      } else {
        ++task;
      }
    const std::size_t shares = std::min<std::size_t>(process_count(), tasks.size());
    std::size_t done = 0;
    std::vector<std::function<void(const Talk &)>> pieces;
    for (std::size_t k = 0; k < shares; ++k)
      pieces.push_back([&, k](const Talk &talk) {
        solve_share_of(
            c, tasks, solve_share(tasks, k, shares), references, MPI_COMM_SELF, folder,
            [&](const std::string &words) { talk.say(words); },
            [&](const std::string &key, const StepResult &r) { talk.send(packed_result(key, r)); });
      });
    solve_side_by_side(
        pieces, line,
        [&](const std::string &bytes) {
          Results one;
          unpack_result(bytes, one);
          for (auto &[key, result] : one) {
            solved[key] = std::move(result);
            keep(key, bytes);
          }
          if (++done % shares == 0) // the others are about as far
            line.reached(time.choosing + time.references + time.designs * done / tasks.size());
        },
        [&](const std::size_t k, const std::string &trouble) {
          for (const std::size_t i : solve_share(tasks, k, shares))
            if (const SolveTask &task = tasks[i]; solved.count(task.key) == 0) {
              DesignResult &gone = solved[task.key].emplace_back();
              gone.design = task.design.name;
              gone.with_support = task.with_support;
              gone.message = trouble;
            }
        });
  } catch (const StoppedBySignal &stop) {
    if (kept.count() == 0)
      throw;
    throw StoppedBySignal("stopped before the end; " + std::to_string(kept.count()) + " of " +
                              std::to_string(all.size()) +
                              " solves are kept for the next run with the same case",
                          stop.signal);
  }
  return solved;
}

/// The fields of every solve go to the results.
void move_fields(const std::string &from, const std::string &to) {
  namespace fs = std::filesystem;
  for (const auto &entry : fs::directory_iterator(from))
    if (const std::string ending = entry.path().extension().string(); ending == ".pvtu" || ending == ".vtu")
      fs::rename(entry.path(), fs::path(to) / entry.path().filename());
}

/// Every result, on rank 0 of the ranks that mpirun started. Collective. Throws on all ranks at once.
Results solve_on_ranks(const Case &c, const std::string &staging, ProgressLine &line) {
  const std::vector<SolveTask> tasks = solve_tasks(c);
  Results own;
  std::string failure;
  {
    const RankGroup group(tasks.size());
    try {
      solve_share_of(
          c, tasks, solve_share(tasks, group.group, group.groups), {}, group.comm, staging,
          [&](const std::string &words) { line.say(words); },
          [&](const std::string &key, const StepResult &r) {
            if (rank_in(group.comm) == 0)
              own[key] = r;
          });
    } catch (const std::exception &error) {
      failure = error.what();
    }
  }
  line.say("waiting for the other designs");
  const std::string first_failure = gather_failure(failure, MPI_COMM_WORLD);
  Results solved = gather_results(own, MPI_COMM_WORLD);
  if (!first_failure.empty())
    throw std::runtime_error(first_failure);
  return solved;
}

/// What every design gave under every activity.
DayInput collect(const Case &c, const CompareOptions &options, Results &solved, const double seconds) {
  DayInput day;
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    ReportInput input = report_input(c, c.day[a], options.date);
    for (const Design &design : c.designs) {
      DesignOutcome outcome;
      outcome.design = design;
      outcome.made_of = design_words(design);
      outcome.with_solve = solve_key(c, a, design);
      outcome.with_instants = solved[outcome.with_solve];
      outcome.with = over_step(outcome.with_instants, c.foot);
      outcome.with.design = design.name;
      outcome.without_solve = solve_key(c, a, design.without_support());
      outcome.without_instants = solved[outcome.without_solve];
      outcome.without = over_step(outcome.without_instants, c.foot);
      outcome.without.design = design.name;
      outcome.without.with_support = design.support.empty();
      input.outcomes.push_back(outcome);
    }
    input.seconds = seconds;
    day.activities.push_back(std::move(input));
  }
  return day;
}

/// Writes the files, puts the folder in place and shows the summary. Returns the exit status.
int write_results(const DayInput &day, OutputFolder &folder, const CompareOptions &options,
                  ProgressLine &line) {
  const std::string &staging = folder.staging();
  WrittenReport report;
  try {
    const auto progress = [&](const std::string &l) { line.say(l); };
    build_forefoot_mesh(staging + "/mesh.msh");
    report = day.activities.size() > 1 ? write_day_report(day, staging, options.pictures, progress)
                                       : write_report(day.common(), staging, options.pictures, progress);
    folder.commit();
  } catch (const std::exception &error) {
    line.say("");
    say_trouble(error.what());
    return 1;
  }
  line.say("");
  std::cout << report.summary << std::flush;
  const bool all_there = report.missing_pictures.empty();
  if (!all_there)
    say_trouble(no_pictures_words(report.missing_pictures));
  if (!options.quiet && on_terminal())
    std::cerr << "\nResults in " << options.out << std::endl;
  return all_there ? 0 : 1;
}

/// Says which solves did not converge. Returns the exit status.
int tell_failures(const DayInput &day) {
  int status = 0;
  for (const ReportInput &input : day.activities)
    for (const DesignOutcome &o : input.outcomes)
      for (const DesignResult *r : {&o.with, &o.without})
        if (!r->converged && (r == &o.with || o.has_support())) {
          status = 1;
          say_trouble((day.activities.size() > 1 ? input.activity.name + ": " : "") + o.design.name +
                      (r->with_support ? "" : " without support") + ": " + r->message);
        }
  return status;
}

/// What follows the solving; this process writes.
int finish(const Case &c, const CompareOptions &options, Results &solved, OutputFolder &folder,
           ProgressLine &line, const std::optional<Sureness> &sure = {}) {
  DayInput day = collect(c, options, solved, line.seconds());
  day.activities.front().sure = sure;
  const int written = write_results(day, folder, options, line);
  return std::max(written, tell_failures(day));
}

/// Says why and ends every rank: the others wait for this one and would wait for ever.
void stop_all_ranks(const std::string &why) {
  say_trouble(why);
  MPI_Abort(MPI_COMM_WORLD, 1);
}

} // namespace

int compare_in_processes(const Case &c, const CompareOptions &options) {
  OutputFolder folder(options.out);
  const bool shown = !options.quiet && on_terminal();
  ProgressLine line(shown);
  KeptResults kept(options.out);
  Results solved = solve_in_processes(c, kept, shown && options.sure_minutes == 0, line);
  move_fields(kept.folder(), folder.staging());
  std::optional<Sureness> sure;
  if (options.sure_minutes > 0) {
    SampleControl control;
    control.feet = options.sure_feet;
    control.minutes = options.sure_minutes;
    control.shown = shown;
    line.say("");
    try {
      const FootSample feet = sample_feet(c, solved, control);
      write_file(folder.staging() + "/sure-feet.csv", feet_csv(feet));
      sure = how_sure(feet);
    } catch (const std::exception &error) { // the comparison itself stays
      sure.emplace();
      sure->why_not = one_line(error.what());
    }
    sure->of_day = c.day.size() > 1;
  }
  const int status = finish(c, options, solved, folder, line, sure);
  kept.clear();
  return status;
}

int compare_on_ranks(const Case &c, const CompareOptions &options) {
  int status = 1;
  try {
    std::unique_ptr<OutputFolder> folder;
    std::string failure;
    try {
      if (is_root())
        folder = std::make_unique<OutputFolder>(options.out);
    } catch (const std::exception &error) {
      failure = error.what();
    }
    ProgressLine line(is_root() && !options.quiet && on_terminal());
    Results solved;
    failure = gather_failure(failure, MPI_COMM_WORLD);
    const std::string staging = from_root(folder ? folder->staging() : "");
    if (failure.empty())
      try {
        solved = solve_on_ranks(c, staging, line);
      } catch (const std::exception &error) {
        failure = error.what();
      }
    if (is_root() && failure.empty()) {
      status = finish(c, options, solved, *folder, line);
    } else if (is_root()) {
      line.say("");
      say_trouble(failure);
    }
    status = from_root(status);
  } catch (const std::exception &error) {
    stop_all_ranks(error.what());
  } catch (...) {
    stop_all_ranks("stopped by an unknown fault");
  }
  return status;
}

} // namespace raybend
