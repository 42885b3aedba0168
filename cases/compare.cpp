// The command `raybend compare`: from a case to its results.
#include "cases/compare.hpp"
#include "cases/design_words.hpp"
#include "cases/progress.hpp"
#include "cases/solve_in_turn.hpp"
#include "cases/solve_plan.hpp"
#include "cases/workers.hpp"
#include "geometry/version.hpp"
#include "meshing/forefoot_mesh.hpp"
#include "postprocess/day_report.hpp"
#include "postprocess/display.hpp"
#include "postprocess/fields.hpp"
#include "postprocess/output_folder.hpp"
#include "postprocess/report.hpp"
#include "solver/forefoot_model.hpp"
#include "solver/gather_results.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <map>
#include <memory>
#include <mpi.h>
#include <thread>

namespace raybend {

namespace {

ReportInput report_input(const Case &c, const DayActivity &activity, const std::string &date) {
  ReportInput input;
  input.title = c.title;
  input.question = c.question;
  input.note = c.note;
  input.case_path = c.path;
  input.case_text = c.source_text;
  input.foot = c.foot;
  input.activity = activity;
  input.date = date;
  input.reference = c.reference;
  input.warnings = c.warnings;
  for (const auto &r : c.resolved)
    input.resolved.push_back({r.key, r.value, r.unit, r.origin});
  input.versions = solver_versions();
  input.versions.insert(input.versions.begin(), {"raybend", raybend_version});
  return input;
}

// Every rank calls this; rank 0 writes.
int compare_on_ranks(const Case &c, const CompareOptions &options) {
  int rank = 0;
  MPI_Comm_rank(MPI_COMM_WORLD, &rank);
  const bool root = rank == 0;
  int status = 0;
  const auto share_status = [&] { MPI_Bcast(&status, 1, MPI_INT, 0, MPI_COMM_WORLD); };

  std::unique_ptr<OutputFolder> folder;
  std::string staging;
  if (root)
    try {
      folder = std::make_unique<OutputFolder>(options.out);
      staging = folder->staging();
      hand_over_staging(staging);
    } catch (const std::exception &error) {
      std::cerr << "raybend: " << error.what() << "\n";
      status = 1;
    }
  share_status();
  if (status != 0)
    return status;
  int length = static_cast<int>(staging.size());
  MPI_Bcast(&length, 1, MPI_INT, 0, MPI_COMM_WORLD);
  staging.resize(length);
  MPI_Bcast(staging.data(), length, MPI_CHAR, 0, MPI_COMM_WORLD);

  DayInput day;
  for (const DayActivity &activity : c.day)
    day.activities.push_back(report_input(c, activity, options.date));
  const bool several = c.day.size() > 1;
  {
    ProgressLine line(root && !options.quiet && on_terminal());
    const std::vector<SolveTask> tasks = solve_tasks(c);
    // Solves side by side: ranks form as many groups as there are tasks, and each group takes its share. A
    // group of one rank wastes nothing on messages and on the coarsest level, which a group's ranks all
    // factorize.
    int ranks = 1;
    MPI_Comm_size(MPI_COMM_WORLD, &ranks);
    const int groups = std::min<int>(ranks, tasks.size()), group = rank * groups / ranks;
    MPI_Comm comm;
    MPI_Comm_split(MPI_COMM_WORLD, group, rank, &comm);
    int rank_in_group = 0;
    MPI_Comm_rank(comm, &rank_in_group);
    std::map<std::string, DesignResult> own;
    std::string failure;
    try {
      std::unique_ptr<ForefootModel>
          model; // of the activity at hand: the ground's tilt and the load are its own
      const auto words = [&](const std::size_t i) {
        return (several ? c.day[tasks[i].activity].name + ", " : "") + tasks[i].design.name +
               (tasks[i].with_support ? "" : " without support") + " (" + std::to_string(i + 1) + " of " +
               std::to_string(tasks.size()) + "): ";
      };
      SolveSteps steps;
      steps.new_model = [&](const std::size_t activity) {
        model.reset(); // two would take twice the memory
        model = std::make_unique<ForefootModel>(c.foot, c.day[activity].activity, c.settings, comm);
      };
      steps.solve = [&](const std::size_t i) {
        return model->solve(tasks[i].design, [&](const std::string &l) { line.say(words(i) + l); });
      };
      steps.solved = [&](const std::size_t i, const DesignResult &result) {
        if (!result.converged)
          return;
        line.say(words(i) + "writing fields");
        for (std::size_t a = 0; a < c.day.size(); ++a) // whatever has this result
          for (const Design &design : c.designs)
            if (solve_key(c, a, design) == tasks[i].key)
              write_fields(model->state(), staging, design.name + (several ? file_ending(c.day[a]) : ""));
      };
      own = solve_in_turn(tasks, solve_share(tasks, group, groups), comm, steps);
      if (rank_in_group != 0)
        own.clear();
    } catch (const std::exception &error) {
      failure = error.what();
    }
    MPI_Comm_free(&comm);
    line.say("waiting for the other designs");
    const std::string first_failure = gather_failure(failure, MPI_COMM_WORLD);
    std::map<std::string, DesignResult> solved = gather_results(own, MPI_COMM_WORLD);
    if (!first_failure.empty()) {
      line.say("");
      if (root)
        std::cerr << "raybend: " << first_failure << "\n";
      return 1;
    }
    for (std::size_t a = 0; a < c.day.size(); ++a) {
      ReportInput &input = day.activities[a];
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
        if (root && (!outcome.with.converged || !outcome.without.converged))
          status = 1;
        input.outcomes.push_back(outcome);
      }
      input.seconds = line.seconds();
    }
    WrittenReport report;
    if (root)
      try {
        const auto progress = [&](const std::string &l) { line.say(l); };
        build_forefoot_mesh(staging + "/mesh.msh");
        report = several ? write_day_report(day, staging, options.pictures, progress)
                         : write_report(day.common(), staging, options.pictures, progress);
        folder->commit();
      } catch (const std::exception &error) {
        line.say("");
        std::cerr << "raybend: " << error.what() << "\n";
        status = 1;
        report = {};
      }
    if (root && !report.summary.empty()) {
      line.say("");
      std::cout << report.summary << std::flush;
      if (!report.missing_pictures.empty()) {
        std::cerr << "raybend: " << no_pictures_words(report.missing_pictures) << "\n";
        status = 1; // not all that was asked for
      }
      if (!options.quiet && on_terminal())
        std::cerr << "\nResults in " << options.out << "\n";
    }
  }
  if (root)
    for (const ReportInput &input : day.activities)
      for (const DesignOutcome &o : input.outcomes)
        for (const DesignResult *r : {&o.with, &o.without})
          if (!r->converged && (r == &o.with || o.has_support()))
            std::cerr << "raybend: " << (several ? input.activity.name + ": " : "") << o.design.name
                      << (r->with_support ? "" : " without support") << ": " << r->message << "\n";
  share_status();
  return status;
}

/// Says why and ends every rank: the others wait for this one and would wait for ever.
void stop_all_ranks(const std::string &why) {
  if (started_by_us())
    hand_over_trouble(why);
  else
    std::cerr << "raybend: " << why << std::endl;
  MPI_Abort(MPI_COMM_WORLD, 1);
}

} // namespace

int run_compare(const Case &c, const CompareOptions &options) {
  if (!under_mpirun()) {
    const int status = run_on_all_cores(options.argc, options.argv);
    if (status >= 0)
      return status;
  }
  int argc = options.argc;
  char **argv = options.argv;
  start_parallel(argc, argv);
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

std::string mesh_forecast(const Case &c) {
  const unsigned long n = ForefootModel::unknowns(c.settings.resolution);
  const std::vector<SolveTask> tasks = solve_tasks(c);
  // Measured on a 2.2 GHz server, one design a core side by side: the first design of a core's model takes
  // 4.3 s for the load path on the coarsest mesh and 0.04 ms an unknown, each further one 1.3 s and 0.03 ms;
  // 4 s for an activity's pictures.
  const unsigned cores = std::max(1u, std::thread::hardware_concurrency());
  const std::size_t groups = std::min<std::size_t>(cores, tasks.size());
  double longest = 0;
  for (std::size_t group = 0; group < groups; ++group) {
    double solving = 0;
    std::size_t model = c.day.size(); // none yet
    for (const std::size_t i : solve_share(tasks, group, groups)) {
      solving += tasks[i].activity == model ? 1.3 + 0.03e-3 * n : 4.3 + 0.04e-3 * n;
      model = tasks[i].activity;
    }
    longest = std::max(longest, solving);
  }
  const double seconds = 2 + longest + 4 * c.day.size();
  std::string solves = std::to_string(tasks.size()) + " insoles to solve";
  const std::size_t loads = different_loads(c);
  if (c.day.size() > 1)
    solves =
        std::to_string(tasks.size()) + " solves (" + std::to_string(tasks.size() / loads) +
        " insoles under " + std::to_string(c.day.size()) + " activities" +
        (loads < c.day.size() ? ", " + std::to_string(loads) + " of them with loads of their own)" : ")");
  char text[300];
  std::snprintf(text, sizeof text,
                "%lu unknowns (27-node hexahedra), %s;\n  about %.0f s on %u core%s, "
                "pictures included\n",
                n, solves.c_str(), std::ceil(seconds / 5) * 5, cores, cores == 1 ? "" : "s");
  return text;
}

} // namespace raybend
