// The case as it is calculated: every value in force, with its origin.
#pragma once
#include "cases/forefoot/case.hpp"
#include <map>
#include <string>
#include <vector>

namespace raybend {

/// One entry a key, in the order of a case file. Numbers have nine digits.
std::vector<Case::Resolved> list_resolved(const Case &c, const std::map<std::string, std::string> &origins);

/// A case file that says every value explicitly; reading it gives the same case again (to nine digits).
std::string resolved_toml(const Case &c);

} // namespace raybend
