// TOML text to tables.
#pragma once
#include "cases/casefile/toml.hpp"
#include <string>

namespace raybend {

/// Throws CaseError with the line if the text is not valid TOML; `path` is for the message.
toml::table parse_toml(const std::string &text, const std::string &path);

} // namespace raybend
