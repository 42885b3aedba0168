// Whether results can be written where the user wants them; asked before anything is calculated.
#pragma once
#include <string>

namespace raybend {

/// Returns "" if `out` can be written: it holds nothing but former results, or does not exist and the nearest
/// folder above it that does can be written; the folders between are made with the results. Otherwise says why not. Leaves nothing behind.
std::string why_not_writable(const std::string &out);

} // namespace raybend
