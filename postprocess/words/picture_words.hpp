// Words that all pictures write alike.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <cstddef>
#include <string>

namespace raybend {

/// An activity's words as one says them: "walking push-off" for the kind walking-push-off, "between the racks
/// (carrying)" for a carrying named between-the-racks.
std::string spoken(const DayActivity &activity);

/// "TOPIC, ACTIVITY, FORCE N on forefoot and toes".
std::string picture_title(const std::string &topic, const ReportInput &input);

/// "A", "B", ... by a design's place in the case: the same letter on every picture.
std::string design_letter(std::size_t place);

/// The design's title on one line; its name where the font of the pictures cannot draw the title.
std::string picture_name(const ReportInput &input, std::size_t place);

/// "A  NAME", the name as picture_name has it.
std::string lettered_name(const ReportInput &input, std::size_t place);

} // namespace raybend
