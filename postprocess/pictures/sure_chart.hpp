// Chart of how sure an answer is.
#pragma once
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/compare/report_input.hpp"

namespace raybend {

/// Left: the chances of every place in the order, a bar a design. Right: the change of strain against the reference, median and nine
/// in ten, with what person, model and mesh make of it alone. Needs ReportInput::sure without a reason why not.
Drawing sure_chart(const ReportInput &input);

} // namespace raybend
