// The command `raybend compare`: from a case to its results.
#include "cases/commands/compare.hpp"
#include "cases/commands/case_report.hpp"
#include "cases/forefoot/design_words.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/solve_in_turn.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/run/workers.hpp"
#include "meshing/forefoot_mesh.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/files/day_report.hpp"
#include "postprocess/files/fields.hpp"
#include "postprocess/files/output_folder.hpp"
#include "postprocess/files/report.hpp"
#include "solver/forefoot_model.hpp"
#include "solver/gather_results.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <map>
#include <memory>
#include <mpi.h>
#include <stdexcept>

namespace raybend {

namespace {

int rank_in(MPI_Comm comm) {
  int rank = 0;
  MPI_Comm_rank(comm, &rank);
  return rank;
}

bool is_root() {
  return rank_in(MPI_COMM_WORLD) == 0;
}

/// Rank 0's value on every rank.
int from_root(int value) {
  MPI_Bcast(&value, 1, MPI_INT, 0, MPI_COMM_WORLD);
  return value;
}

std::string from_root(std::string text) {
  text.resize(from_root(static_cast<int>(text.size())));
  MPI_Bcast(text.data(), static_cast<int>(text.size()), MPI_CHAR, 0, MPI_COMM_WORLD);
  return text;
}

/// On rank 0 the folder, nullptr after a fault that is said; nullptr elsewhere.
std::unique_ptr<OutputFolder> open_folder(const std::string &path) {
  if (!is_root())
    return nullptr;
  try {
    auto folder = std::make_unique<OutputFolder>(path);
    hand_over_staging(folder->staging());
    return folder;
  } catch (const std::exception &error) {
    say_trouble(error.what());
    return nullptr;
  }
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

/// The results of this group's share by key, on the group's first rank.
std::map<std::string, DesignResult> solve_own(const Case &c, const std::vector<SolveTask> &tasks,
                                              const RankGroup &group, const std::string &staging,
                                              ProgressLine &line) {
  std::unique_ptr<ForefootModel> model; // of the activity at hand: the ground's tilt and the load are its own
  SolveSteps steps;
  steps.new_model = [&](const std::size_t activity) {
    model.reset(); // two would take twice the memory
    model = std::make_unique<ForefootModel>(c.foot, c.day[activity].activity, c.settings, group.comm);
  };
  steps.solve = [&](const std::size_t i) {
    return model->solve(tasks[i].design,
                        [&](const std::string &l) { line.say(task_words(c, tasks, i) + l); });
  };
  steps.solved = [&](const std::size_t i, const DesignResult &result) {
    if (!result.converged)
      return;
    line.say(task_words(c, tasks, i) + "writing fields");
    write_task_fields(c, tasks[i], *model, staging);
  };
  auto own = solve_in_turn(tasks, solve_share(tasks, group.group, group.groups), group.comm, steps);
  if (rank_in(group.comm) != 0)
    own.clear();
  return own;
}

/// Thrown on all ranks at once: nobody waits for anybody.
struct EveryRankFailed : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Every result by key, on rank 0. Throws EveryRankFailed with what stopped any of them.
std::map<std::string, DesignResult> solve_all(const Case &c, const std::string &staging, ProgressLine &line) {
  const std::vector<SolveTask> tasks = solve_tasks(c);
  std::map<std::string, DesignResult> own;
  std::string failure;
  {
    const RankGroup group(tasks.size());
    try {
      own = solve_own(c, tasks, group, staging, line);
    } catch (const std::exception &error) {
      failure = error.what();
    }
  }
  line.say("waiting for the other designs");
  const std::string first_failure = gather_failure(failure, MPI_COMM_WORLD);
  std::map<std::string, DesignResult> solved = gather_results(own, MPI_COMM_WORLD);
  if (!first_failure.empty())
    throw EveryRankFailed(first_failure);
  return solved;
}

/// What every design gave under every activity.
DayInput collect(const Case &c, const CompareOptions &options, std::map<std::string, DesignResult> &solved,
                 const double seconds) {
  DayInput day;
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    ReportInput input = report_input(c, c.day[a], options.date);
    for (const Design &design : c.designs) {
      DesignOutcome outcome;
      outcome.design = design;
      outcome.made_of = design_words(design);
      outcome.with_solve = solve_key(c, a, design);
      outcome.with = solved[outcome.with_solve];
      outcome.with.design = design.name;
      outcome.without_solve = solve_key(c, a, design.without_support());
      outcome.without = solved[outcome.without_solve];
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
  say_text(report.summary);
  const bool all_there = report.missing_pictures.empty();
  if (!all_there)
    say_trouble(no_pictures_words(report.missing_pictures));
  if (!options.quiet && on_terminal()) {
    say_note("");
    say_note("Results in " + options.out);
  }
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

// Every rank calls this; rank 0 writes.
int compare_on_ranks(const Case &c, const CompareOptions &options) {
  const std::unique_ptr<OutputFolder> folder = open_folder(options.out);
  if (from_root(folder ? 0 : 1) != 0)
    return 1;
  const std::string staging = from_root(folder ? folder->staging() : "");
  int status = 0;
  ProgressLine line(is_root() && !options.quiet && on_terminal());
  std::map<std::string, DesignResult> solved;
  try {
    solved = solve_all(c, staging, line);
  } catch (const EveryRankFailed &error) {
    line.say("");
    if (is_root())
      say_trouble(error.what());
    return 1;
  }
  if (is_root()) {
    const DayInput day = collect(c, options, solved, line.seconds());
    const int written = write_results(day, *folder, options, line);
    status = std::max(written, tell_failures(day));
  }
  return from_root(status);
}

/// Says why and ends every rank: the others wait for this one and would wait for ever.
void stop_all_ranks(const std::string &why) {
  say_trouble(why);
  MPI_Abort(MPI_COMM_WORLD, 1);
}

} // namespace

int run_compare(const Case &c, const CompareOptions &options) {
  if (!under_mpirun()) {
    const int status = run_on_all_cores(options.words);
    if (status >= 0)
      return status;
  }
  start_parallel();
  int status = 1;
  try {
    status = compare_on_ranks(c, options);
  } catch (const std::exception &error) {
    stop_all_ranks(error.what());
  } catch (...) {
    stop_all_ranks("stopped by an unknown fault");
  }
  if (started_by_us()) {
    if (environment_rank() == 0)
      hand_over_status(status);
    stop_parallel();
    return 0;
  }
  stop_parallel();
  return status;
}

} // namespace raybend
