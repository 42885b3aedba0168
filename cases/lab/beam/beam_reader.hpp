// From a beam file to a Beam.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "cases/lab/beam/beam_quantity.hpp"

namespace raybend {

struct BeamCase {
  Beam beam;
  std::vector<BeamQuantity> quantities; ///< to compare, as in a textbook case; may be empty
  int levels = 2;
  std::string path, source_text;
  std::vector<std::string> warnings;
};

/// Reads and checks a beam file: [beam], and what a textbook case has besides (title, source, known, [[quantity]]).
/// Throws CaseError with every fault.
BeamCase read_beam(const std::string &path);
BeamCase read_beam_from_text(const std::string &text, const std::string &path);

/// The table [beam] of a file that holds other tables too. Faults go to `log`; the beam is whole only if
/// there are none.
Beam read_beam_table(ReadingLog &log, const toml::table &root, int &levels);

} // namespace raybend
