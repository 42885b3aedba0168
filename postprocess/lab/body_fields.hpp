// A solved body for ParaView.
#pragma once
#include <string>

namespace raybend {

class Body;

/// Displacement (mm), stress components and von Mises stress (MPa) at the nodes of one .vtu file; Cauchy
/// stress if `finite`. Mixed cells show their projected pressure at small strain; at finite strain, where it is
/// known at Gauss points only, their normal stresses are NaN (von Mises stress and shear do not hang on it).
/// Throws std::runtime_error if it cannot be written.
void write_body_fields(const Body &body, bool finite, const std::string &path);

} // namespace raybend
