// The activities of a day: one table [activity], or one [[activity]] for each of several.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "solver/loads.hpp"
#include <vector>

namespace raybend {

/// One to six activities. `is_list` becomes true if they are given as [[activity]]. Faults are logged.
std::vector<DayActivity> read_day(TableReader &top, bool &is_list);

/// Name of an entry as far as it is known before it is checked: its name, its kind, or the default kind.
std::string activity_label(const toml::table &entry);

} // namespace raybend
