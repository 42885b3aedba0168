// What the command `raybend beam` calculates.
#pragma once
#include "cases/lab/beam/beam_reader.hpp"
#include "postprocess/lab/beam_report.hpp"

namespace raybend {

/// Arc lengths where stress is read besides the mesh's own: half-way between what is concentrated, and a depth
/// away from it, where the largest stress that is clear of it often stands.
std::vector<double> stress_stations(const Beam &beam);

/// All levels solved and read; `solid` keeps the last. MPI must be running.
BeamReport solve_beam(const BeamCase &given, BeamSolid &solid, int levels,
                      const std::function<void(const std::string &)> &progress);

} // namespace raybend
