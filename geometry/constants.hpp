// Numbers of mathematics and physics that several folders use.
#pragma once

namespace raybend {

inline constexpr double pi = 3.14159265358979323846;
inline constexpr double standard_gravity = 9.80665; ///< m/s2 (CGPM 1901, from memory)

} // namespace raybend
