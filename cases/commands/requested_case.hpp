// The case that a command line names, and its changes.
#pragma once
#include "cases/commands/command.hpp"
#include "cases/forefoot/case.hpp"

namespace raybend {

/// Changes of a case that --set and --resolution ask for, as --set takes them. Throws UsageError.
std::vector<std::string> changes_of(const Request &request);

/// The case of the request's file with its --set and --resolution. Throws UsageError and CaseError.
/// `text`: of the file, where it has been read already.
Case requested_case(const Request &request, const std::string *text = nullptr);

} // namespace raybend
