// Plantar pressure seen from above, a row a design, and what of it differs from the reference.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include "postprocess/compare/report_input.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Writes the maps as PNG, each calculated point as a facet of one colour, so that the darkest facet is the
/// highest pressure calculated, and the outline of the sensor that reads the painful head's peak. A design
/// that did not converge keeps an empty row that says so. False, and no file, if no design has a plantar
/// surface. `words`, where given, takes the words drawn and their places. Needs a Display; throws
/// std::runtime_error if it cannot be written.
bool write_pressure_maps(const ReportInput &input, const std::string &path,
                         std::vector<Label> *words = nullptr);

/// A square of plan, mm.
struct PlanSquare {
  double x_low, x_high, y_low, y_high;
};

/// What the sensor of a head's peak pressure covers, mirrored as join_patches mirrors.
PlanSquare sensor_square(const RayResult &ray, bool mirror_y);

/// End of the scale, kPa: a round number not below `highest`, the largest value drawn, nor below any head's
/// printed peak.
double pressure_scale_top(const ReportInput &input, double highest);

} // namespace raybend
