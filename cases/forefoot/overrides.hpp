// --set key=value: changes to a case file from the command line.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "cases/casefile/toml.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Writes each "key=value" into the table, in turn; the keys are checked later with the file's own. List
/// places count from 1 (designs[1].fit) and a design or an activity may be named (designs.moulded.fit). A key
/// that stands for another (shore_a for material, shoe_size for foot_length_mm, speed_m_s for force_bw,
/// tissue_stiffness for the moduli of [tissue]) takes its place. Faults are
/// logged. designs.NAME.support=none takes a design's support elements away.
void apply_overrides(toml::table &root, const std::vector<std::string> &sets, ReadingLog &log);

} // namespace raybend
