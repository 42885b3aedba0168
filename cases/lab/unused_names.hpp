// Parameters and fields of a textbook case that no formula uses.
#pragma once
#include "cases/lab/general_case.hpp"

namespace raybend {

/// Warns of each: it is harmless, and likely a slip. `root`: the whole file.
void warn_of_unused(ReadingLog &log, const toml::table &root, const GeneralCase &c);

} // namespace raybend
