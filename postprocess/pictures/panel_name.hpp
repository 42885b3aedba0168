// The words above a panel that holds one design.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include "postprocess/compare/report_input.hpp"
#include "postprocess/pictures/panels.hpp"

namespace raybend {

/// Letter and name of the design at `place` above panel i, in three lines at most; "not converged: no result"
/// in the empty panel of a design that has none.
void panel_name(Painter &p, const ReportInput &input, std::size_t place, const Panels &panels, std::size_t i);

} // namespace raybend
