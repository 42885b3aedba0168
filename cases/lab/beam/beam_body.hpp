// A textbook case about a beam: its file's tables [beam] and [[quantity]] as a body to solve.
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "cases/lab/textbook_case.hpp"

namespace raybend {

/// Reads [beam] and [[quantity]] of the file's root table; other keys there are the caller's. `known` and
/// `source` stand for quantities that do not say their own. Faults go to `log`; null if there are any.
std::unique_ptr<TextbookBody> make_beam_body(ReadingLog &log, const toml::table &root,
                                             const std::string &known, const std::string &source);

} // namespace raybend
