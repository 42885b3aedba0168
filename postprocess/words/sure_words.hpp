// How sure an answer is, in words. Call these where ReportInput::sure is there.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// "82 in 100", "fewer than 1 in 100"
std::string chance_words(double chance);

/// Of the design at that place: how often it leaves less than the reference, and least of all; or why that cannot be said.
std::string sure_sentence(const ReportInput &input, std::size_t place);

/// What to measure to settle the order of the two best designs.
std::string measure_sentence(const ReportInput &input);

/// The order at the case's own numbers, and which answers to what the model leaves open turn it, the two limits of posture among
/// them; "" where they were not solved.
std::string model_sentence(const ReportInput &input);

/// Which designs some feet do not carry; "" where none.
std::string lost_words(const ReportInput &input);

/// What was drawn, solved and weighed, and what the chances leave out.
std::string sure_note(const Sureness &sure);

/// Markdown with its heading: chances of each design; `whole`: also each source of doubt, every two designs, what the feet have
/// of the published numbers.
std::string sure_part(const ReportInput &input, bool whole);

} // namespace raybend
