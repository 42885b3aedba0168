// A solved body for ParaView.
#pragma once
#include <string>

namespace raybend {

class Body;

/// Displacement (mm), stress components and von Mises stress (MPa) at the nodes of one .vtu file; Cauchy
/// stress if `finite`. Throws std::runtime_error if it cannot be written.
void write_body_fields(const Body &body, bool finite, const std::string &path);

} // namespace raybend
