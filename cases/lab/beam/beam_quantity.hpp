// A number that is read from a solved beam and compared: [[quantity]] of a file with a table [beam].
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "geometry/beam.hpp"
#include "postprocess/lab/textbook_result.hpp"

namespace raybend {

class BeamSolid;

struct BeamQuantity {
  TextbookQuantity shown;
  std::string kind;
  double at = 0, from = -1; ///< from < 0: the value itself
  int axis = 2;
  std::size_t support = 0;
  int load_step = 0; ///< 0: the last
  double y_part = 0, z_part = 1;
};

/// All of a file's root table; `known` and `source` stand for those that do not say their own. Faults go to the log.
std::vector<BeamQuantity> read_beam_quantities(ReadingLog &log, const toml::table &root, const Beam &beam,
                                               const std::string &known, const std::string &source);

/// Arc lengths where they are read: planes of the mesh.
std::vector<double> places_of(const std::vector<BeamQuantity> &quantities);

/// Of the level solved last.
double value_of(const BeamQuantity &quantity, const BeamSolid &solid);

} // namespace raybend
