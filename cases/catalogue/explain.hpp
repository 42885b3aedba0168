// `raybend explain`: the catalogue in words.
#pragma once
#include <string>

namespace raybend {

/// All keys, one a line, by section.
std::string explain_all();

/// The keys of a beam file, one a line, by table.
std::string explain_beam_keys();

/// One key (whole path, last name, or concrete place), a section, a named material, activity or foot form, or all
/// of a sort: materials, activities, foot forms, kinds. Returns "" and fills `nearest` ("a" or "b"; may be empty)
/// if nothing has that name.
std::string explain_one(const std::string &name, std::string &nearest);

} // namespace raybend
