// Where temporary files go.
#pragma once
#include <string>

namespace raybend {

/// TMPDIR, or the system's folder. Throws std::runtime_error in words for people if there is no such folder.
std::string temporary_folder();

} // namespace raybend
