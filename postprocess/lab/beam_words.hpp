// What a beam file asked for, in words. Used by the summary of a beam alone.
#pragma once
#include "postprocess/lab/beam_report.hpp"

namespace raybend {

constexpr const char *axis_name[3] = {"x", "y", "z"};

std::string short_number(double x, int digits = 5); ///< significant digits; "-" where there is no number
std::string plain_number(double x);                 ///< as short as it can be: 100, 12.5

std::string hold_words(const BeamSupport &support);

/// Axis, section, material, loads and foundations, as Markdown.
std::string what_was_asked(const BeamReport &report);

} // namespace raybend
