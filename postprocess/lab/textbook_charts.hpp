// Pictures of a textbook case: convergence of its quantities, computed curves over their closed forms.
#pragma once
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/lab/textbook_result.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Error of each quantity over the number of unknowns, both logarithmic, with its tolerance.
Drawing convergence_chart(const TextbookResult &result);

/// Computed points over the closed form.
Drawing curve_chart(const TextbookResult &result, const TextbookCurve &curve);

/// Writes NAME-convergence and NAME-curve-N as PNG and SVG; returns the files' names. Needs a Display.
std::vector<std::string> write_textbook_charts(const TextbookResult &result, const std::string &folder);

} // namespace raybend
