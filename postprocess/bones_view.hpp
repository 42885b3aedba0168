// The five metatarsals in 3D, coloured by the stress along each ray, all designs from one camera on one
// scale.
#pragma once
#include "postprocess/report_input.hpp"
#include <string>

namespace raybend {

/// Writes the picture as PNG. False, and no file, if no design has bone surfaces. Needs a Display; throws
/// std::runtime_error if it cannot be written.
bool write_bones_view(const ReportInput &input, const std::string &path);

} // namespace raybend
