// A textbook case of the general kind: blocks, supports, loads and quantities given by formulas.
#pragma once
#include "cases/lab/general_case.hpp"
#include "cases/lab/textbook_case.hpp"

namespace raybend {

/// Parses every formula of every variant. Faults go to the log; the body is then not to be used (may be
/// nullptr).
std::unique_ptr<TextbookBody> make_general_body(const GeneralCase &c, ReadingLog &log);

} // namespace raybend
