// What the pictures' font can draw. It is built into VTK, so that pictures look alike on every machine, and it
// leaves out the letters it lacks without a word.
#pragma once
#include <string>

namespace raybend {

/// True if the font has every character of this UTF-8 text.
bool drawable(const std::string &text);

} // namespace raybend
