// When a calculation was done, for its report.
#pragma once
#include <string>

namespace raybend {

/// Now in UTC by ISO 8601, "2026-03-01T14:05:09Z"; where the environment has SOURCE_DATE_EPOCH, that time in
/// its place (reproducible-builds.org/specs/source-date-epoch: whole seconds since 1970). Throws
/// std::runtime_error if it is not of that form.
std::string calculation_date();

} // namespace raybend
