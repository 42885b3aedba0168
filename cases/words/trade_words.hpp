// Words of the clinic for what a case file names otherwise.
#pragma once
#include <string>
#include <utility>
#include <vector>

namespace raybend {

/// Each word in small letters with _ between its parts, without a unit, and the key, kind, role or choice that
/// has another name here: weight, body_mass_kg. "" for what the model has not, though a part of its name is known.
const std::vector<std::pair<std::string, std::string>> &trade_words();

} // namespace raybend
