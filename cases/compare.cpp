// The command `raybend compare`: from a case to its results.
#include "cases/compare.hpp"
#include "cases/progress.hpp"
#include "cases/workers.hpp"
#include "geometry/version.hpp"
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

// Designs with one fingerprint behave alike; names and titles do not count.
std::string fingerprint(const Design &d) {
  std::string text = std::to_string(d.fit);
  const auto add = [&](const InsoleMaterial &m) {
    for (const double x : {double(m.law), m.e, m.nu, m.relative_density, m.gas_pressure})
      text += " " + std::to_string(x);
  };
  for (const Layer &layer : d.layers) {
    text += "; layer " + std::to_string(int(layer.role));
    for (const double x : {layer.thickness, layer.from_behind_heads, layer.to_behind_heads})
      text += " " + std::to_string(x);
    add(layer.material);
  }
  for (const SupportElement &e : d.support) {
    text += "; support " + std::to_string(int(e.kind)) + " " + std::to_string(e.ray);
    for (const double x : {e.height, e.length, e.width, e.behind_heads, e.radius, e.proximal_bevel,
                           e.distal_bevel, e.angle_deg, e.shift_medial})
      text += " " + std::to_string(x);
    add(e.material);
  }
  return text;
}

ReportInput report_input(const Case &c) {
  ReportInput input;
  input.title = c.title;
  input.question = c.question;
  input.note = c.note;
  input.case_path = c.path;
  input.case_text = c.source_text;
  input.foot = c.foot;
  input.activity = c.activity;
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

  ReportInput input = report_input(c);
  {
    ProgressLine line(root && !options.quiet && on_terminal());
    // Each design is followed by itself without its support elements, unless that insole is solved elsewhere
    // already.
    std::vector<std::pair<Design, bool>> tasks;
    for (const Design &design : c.designs) {
      tasks.emplace_back(design, true);
      if (!design.support.empty())
        tasks.emplace_back(design.without_support(), false);
    }
    std::stable_sort(tasks.begin(), tasks.end(),
                     [](const auto &a, const auto &b) { return a.second > b.second; });
    std::vector<std::string> keys;
    std::vector<std::pair<Design, bool>> once;
    for (const auto &task : tasks)
      if (const std::string key = fingerprint(task.first);
          std::find(keys.begin(), keys.end(), key) == keys.end()) {
        keys.push_back(key);
        once.push_back(task);
      }
    // Designs side by side: ranks form as many groups as there are insoles to solve, and each group takes
    // every so-manieth. A group of one rank wastes nothing on messages and on the coarsest level, which a
    // group's ranks all factorize.
    int ranks = 1;
    MPI_Comm_size(MPI_COMM_WORLD, &ranks);
    const int groups = std::min<int>(ranks, once.size()), group = rank * groups / ranks;
    MPI_Comm comm;
    MPI_Comm_split(MPI_COMM_WORLD, group, rank, &comm);
    int rank_in_group = 0;
    MPI_Comm_rank(comm, &rank_in_group);
    std::map<std::string, DesignResult> own;
    std::string failure;
    try {
      ForefootModel model(c.foot, c.activity, c.settings, comm);
      for (std::size_t i = group; i < once.size(); i += groups) {
        const auto &[design, with_support] = once[i];
        const std::string words = design.name + (with_support ? "" : " without support") + " (" +
                                  std::to_string(i + 1) + " of " + std::to_string(once.size()) + "): ";
        const DesignResult result = model.solve(design, [&](const std::string &l) { line.say(words + l); });
        if (with_support && result.converged) {
          line.say(words + "writing fields");
          write_fields(model.state(), staging, design.name);
        }
        if (rank_in_group == 0)
          own[keys[i]] = result;
      }
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
    for (const Design &design : c.designs) {
      DesignOutcome outcome;
      outcome.design = design;
      outcome.with = solved[fingerprint(design)];
      outcome.with.design = design.name;
      outcome.without = solved[fingerprint(design.without_support())];
      outcome.without.design = design.name;
      outcome.without.with_support = design.support.empty();
      if (root && (!outcome.with.converged || !outcome.without.converged))
        status = 1;
      input.outcomes.push_back(outcome);
    }
    input.seconds = line.seconds();
    std::string text;
    if (root)
      try {
        text = write_report(input, staging, options.pictures, [&](const std::string &l) { line.say(l); });
        folder->commit();
      } catch (const std::exception &error) {
        line.say("");
        std::cerr << "raybend: " << error.what() << "\n";
        status = 1;
        text.clear();
      }
    if (root && !text.empty()) {
      line.say("");
      std::cout << text << std::flush;
    }
  }
  if (root)
    for (const DesignOutcome &o : input.outcomes)
      for (const DesignResult *r : {&o.with, &o.without})
        if (!r->converged)
          std::cerr << "raybend: " << o.design.name << (r->with_support ? "" : " without support") << ": "
                    << r->message << "\n";
  share_status();
  return status;
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
  } catch (...) {
    MPI_Abort(MPI_COMM_WORLD, 1);
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
  std::size_t solves = 0;
  std::map<std::string, int> seen;
  for (const Design &d : c.designs)
    for (const Design &one : {d, d.without_support()})
      if (seen[fingerprint(one)]++ == 0)
        ++solves;
  // Measured on a 2.2 GHz server, one design a core side by side: 0.33 ms an unknown for a core's first
  // design, 0.14 ms for each further one, 12 s for pictures.
  const unsigned cores = std::max(1u, std::thread::hardware_concurrency());
  const std::size_t in_a_row = (solves + cores - 1) / cores;
  const double seconds = 5 + n * (0.33e-3 + 0.14e-3 * (in_a_row - 1)) + 12;
  char text[300];
  std::snprintf(text, sizeof text,
                "%lu unknowns (27-node hexahedra), %zu insoles to solve;\n  about %.0f s on %u core%s, "
                "pictures included\n",
                n, solves, std::ceil(seconds / 5) * 5, cores, cores == 1 ? "" : "s");
  return text;
}

} // namespace raybend
