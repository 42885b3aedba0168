// The five metatarsals in 3D, a row a design: from above and from below, coloured by the stress along each ray and by
// what of it differs from the reference.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include "postprocess/compare/report_input.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Writes the picture as PNG. A design that did not converge keeps an empty row that says so, and
/// without the reference, or with one design, the views against it are left out. False, and no
/// file, if no design has bone surfaces. `words`, where given, takes the words drawn and their places. Needs
/// a Display; throws std::runtime_error if it cannot be written.
bool write_bones_view(const ReportInput &input, const std::string &path, std::vector<Label> *words = nullptr);

/// Stresses at which the bones carry a line, MPa: zero and the scale's ticks in tension, none in compression.
/// So the two are told apart where the colours are gone, on grey paper.
std::vector<double> tension_levels(double limit);

/// MPa, end of the colour scale: a round number above the largest magnitude but for the top half percent, so that a
/// lone spot does not bleach the rest.
double stress_limit(const std::vector<double> &values);

/// MPa: a spot of tension that stays below this has no line at all. Near heads and in end faces the stress
/// hovers about zero, and lines there would show the mesh, not the load.
double least_tension(double limit);

} // namespace raybend
