// The command `raybend beam`.
#pragma once
#include "cases/lab/beam_reader.hpp"
#include "postprocess/lab/beam_report.hpp"

namespace raybend {

struct BeamOptions {
  std::string out;
  int levels = 0;   ///< 0: as the file says
  std::string date; ///< for the report
  bool pictures = true, vtu = false, quiet = false;
  int argc = 0;
  char **argv = nullptr;
};

/// Solves the beam on one core and writes the results; exit status (0 or 1).
int run_beam(const BeamCase &given, const BeamOptions &options);

/// Arc lengths where stress is read besides the mesh's own: half-way between what is concentrated, and a depth
/// away from it, where the largest stress that is clear of it often stands.
std::vector<double> stress_stations(const Beam &beam);

/// All levels solved and read; `solid` keeps the last. MPI must be running.
BeamReport solve_beam(const BeamCase &given, BeamSolid &solid, int levels,
                      const std::function<void(const std::string &)> &progress);

} // namespace raybend
