// The command `raybend beam`: a beam of one's own, solved on one core in 3D and set against beam theory.
#include "cases/commands/beam_command.hpp"
#include "cases/catalogue/explain.hpp"
#include "cases/commands/command.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/lab/beam/beam_limits.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/ranks.hpp"
#include "geometry/beam_cautions.hpp"
#include "geometry/beam_holds.hpp"
#include "geometry/beam_section.hpp"
#include "geometry/version.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/files/output_folder.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <cmath>
#include <iostream>
#include <limits>

namespace raybend {

namespace {

/// Logical points of the outline whose axial stress is read.
std::vector<std::array<double, 2>> outline(const Beam &beam) {
  std::vector<std::array<double, 2>> parts;
  for (const double y : {-1.0, 0.0, 1.0})
    for (const double z : {-1.0, 0.0, 1.0})
      if ((y != 0 || z != 0) &&
          (z != 0 || beam.section.shape != SectionShape::layered)) // it jumps between layers
        parts.push_back({y, z});
  if (beam.section.shape == SectionShape::z_section)
    parts = {{-1, -1}, {0, -1}, {0, 1}, {1, 1}};
  for (auto &p : parts)
    p = outline_point(beam, p[0], p[1]);
  return parts;
}

/// Where something concentrated acts, and the ends.
std::vector<double> concentrated(const Beam &beam) {
  std::vector<double> at = concentrated_places(beam);
  at.insert(at.begin(), {0, beam.length});
  for (const SectionStep &step : beam.section.steps)
    at.push_back(step.at);
  return at;
}

/// A depth (or width, whichever is more) or more away from all that is concentrated.
bool clear_of_loads(const Beam &beam, const double s) {
  const SectionSize size = section_size(beam, s);
  const double depth = std::max(size.depth, size.width);
  const auto places = concentrated(beam);
  return std::all_of(places.begin(), places.end(),
                     [&](const double at) { return std::abs(s - at) >= depth * (1 - 1e-9); });
}

/// The place nearest to `at` that is a depth (or width) of its own section away, beyond (`way` 1) or before
/// (-1); outside the beam if there is none.
double limit_of(const Beam &beam, const double at, const int way) {
  SectionSize a = beam.section.start, b = beam.section.end;
  if (!beam.section.steps.empty())
    a = b = section_size(beam, at + way * slice_length(beam));
  double limit = at;
  for (const auto &[from, to] : {std::array<double, 2>{a.depth, b.depth}, {a.width, b.width}}) {
    const double slope = 1 - way * (to - from) / beam.length; // sizes vary linearly along the axis
    const double place = slope > 0 ? (at + way * from) / slope : way * HUGE_VAL;
    limit = way > 0 ? std::max(limit, place) : std::min(limit, place);
  }
  return limit;
}

/// Half-way between neighbouring loads, supports and ends.
std::vector<double> middles(const Beam &beam) {
  std::vector<double> at = concentrated(beam), out;
  for (const BeamLoad &l : beam.loads)
    at.insert(at.end(), {l.from, l.to});
  std::sort(at.begin(), at.end());
  for (std::size_t i = 1; i < at.size(); ++i)
    if (at[i] - at[i - 1] > 4 * slice_length(beam))
      out.push_back((at[i] + at[i - 1]) / 2);
  return out;
}

void read_stresses(const BeamSolid &solid, std::vector<BeamStress> &list) {
  const Beam &beam = solid.beam();
  const bool first = list.empty();
  std::size_t i = 0;
  for (const SolidStation &station : solid.result().stations) {
    if (station.s < 0 || station.s > beam.length)
      continue;
    for (const auto &p : outline(beam)) {
      if (first)
        list.push_back({});
      BeamStress &stress = list[i++];
      stress.before = first ? std::numeric_limits<double>::quiet_NaN() : stress.solid;
      const auto place = section_point(beam, station.s, p[0], p[1]);
      stress.s = station.s;
      stress.y = place[0];
      stress.z = place[1];
      stress.solid = solid.stress(station.s, p[0], p[1]);
      stress.navier = navier_stress(beam, station.s, place[0], place[1], station.force[0], station.moment[1],
                                    station.moment[2]) +
                      self_stress(beam, station.s, place[1]);
      stress.clear = clear_of_loads(beam, station.s);
    }
  }
}

} // namespace

std::vector<double> stress_stations(const Beam &beam) {
  std::vector<double> stations = middles(beam);
  for (const double at : concentrated(beam))
    for (const int way : {-1, 1}) {
      const double s = limit_of(beam, at, way);
      if (s > 0 && s < beam.length && clear_of_loads(beam, s))
        stations.push_back(s);
    }
  return stations;
}

BeamReport solve_beam(const BeamCase &given, BeamSolid &solid, const int levels,
                      const std::function<void(const std::string &)> &progress) {
  BeamReport report;
  report.beam = given.beam;
  report.path = given.path;
  report.text = given.source_text;
  report.warnings = given.warnings;
  for (int level = 0; level < levels; ++level) {
    report.levels.push_back(solid.solve(level, progress));
    if (level + 2 >= levels)
      read_stresses(solid, report.stresses);
  }
  std::vector<double> stations;
  for (const SolidStation &s : report.last().stations)
    stations.push_back(s.s);
  report.euler = solve_frame(given.beam, BeamTheory::euler, stations);
  report.timoshenko = solve_frame(given.beam, BeamTheory::timoshenko, stations);
  report.compared.levels.resize(1);
  for (const BeamQuantity &q : given.quantities) {
    report.compared.quantities.push_back(q.shown);
    report.compared.levels[0].values.push_back(value_of(q, solid));
  }
  for (const std::string &w : theory_warnings(given.beam, report.last().largest_rotation_deg))
    report.beyond_theory.push_back(w);
  return report;
}

namespace {

int run(const Request &request) {
  if (request.has("keys")) {
    std::cout << explain_beam_keys();
    return 0;
  }
  keep_on_when_pipe_closes();
  const std::string &path = request.file("beam file");
  if (under_mpirun())
    throw UsageError("a beam is solved in one process; start it without mpirun");
  const BeamCase given = read_beam(path);
  const int levels = request.number("levels", 1, 4).value_or(given.levels);
  const std::string date = date_for_report(), out = out_folder(request, case_stem(path));
  const bool quiet = request.has("quiet");
  if (!quiet)
    print_warnings(given.warnings);
  start_parallel();
  int status = 0;
  try {
    ProgressLine line(!quiet && on_terminal());
    const auto say = [&](const std::string &words) { line.say(words); };
    std::vector<double> stations = stress_stations(given.beam);
    for (const double s : places_of(given.quantities))
      stations.push_back(s);
    BeamSolid solid(given.beam, stations);
    BeamReport report = solve_beam(given, solid, levels, say);
    report.versions = solver_versions();
    report.versions.emplace_back("VTK", RAYBEND_VTK_VERSION);
    report.versions.insert(report.versions.begin(), {"raybend", raybend_version});
    report.seconds = line.seconds();
    OutputFolder folder(out); // late, so that an interrupted calculation leaves nothing behind
    std::vector<std::string> files;
    if (request.has("vtu")) {
      solid.write_vtu(folder.staging() + "/beam.vtu");
      files.push_back("beam.vtu");
    }
    say("writing");
    report.date = date;
    const WrittenReport written =
        write_beam_report(report, folder.staging(), !request.has("no-pictures"), files);
    folder.commit();
    line.say("");
    std::cout << written.summary << std::flush;
    if (!written.missing_pictures.empty()) {
      std::cerr << "raybend: " << no_pictures_words(written.missing_pictures) << "\n";
      status = 1; // not all that was asked for
    }
  } catch (const std::exception &error) {
    std::cerr << "raybend: " << error.what() << "\n";
    status = 1;
  }
  stop_parallel();
  return status;
}

} // namespace

Command beam_command() {
  Option out = out_option;
  out.words = "directory for the results (default: ./<beam>-results)";
  return {
      "beam",
      "beam BEAM.toml [options]",
      "solve a laboratory's own beam in 3D, set it against beam theory",
      "Solves a laboratory's own beam in three dimensions and sets deflections, section forces and stresses "
      "against Euler-Bernoulli's and Timoshenko's beam theory.",
      {out,
       {"levels", "N", "meshes to solve, 1 to 4 (same as beam.levels)"},
       {"vtu", "", "write displacement and stress for ParaView"},
       {"keys", "", "list the keys of a beam file and do nothing else"},
       no_pictures_option,
       quiet_option},
      1,
      {std::begin(beam_cautions), std::end(beam_cautions)},
      run};
}

} // namespace raybend
