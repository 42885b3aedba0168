// The case that a command line names.
#pragma once
#include "cases/commands/command.hpp"
#include "cases/forefoot/case.hpp"

namespace raybend {

/// The case of the request's file with its --set and --resolution. Throws UsageError and CaseError.
/// `text`: of the file, where it has been read already.
Case requested_case(const Request &request, const std::string *text = nullptr);

} // namespace raybend
