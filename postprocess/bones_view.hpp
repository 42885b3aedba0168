// The five metatarsals in 3D, coloured by the stress along each ray, all designs from one camera on one
// scale.
#pragma once
#include "postprocess/report_input.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Writes the picture as PNG. False, and no file, if no design has bone surfaces. Needs a Display; throws
/// std::runtime_error if it cannot be written.
bool write_bones_view(const ReportInput &input, const std::string &path);

/// Stresses at which the bones carry a line, MPa: zero and the scale's ticks in tension, none in compression.
/// So the two are told apart where the colours are gone, on grey paper.
std::vector<double> tension_levels(double limit);

} // namespace raybend
