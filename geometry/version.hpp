// The program's version, printed by --version and on every report.
#pragma once

namespace raybend {

inline constexpr const char *raybend_version = "0.1.0";

} // namespace raybend
