// Words that all pictures write alike.
#pragma once
#include "postprocess/compare/day.hpp"
#include <cstddef>
#include <functional>
#include <string>

namespace raybend {

/// An activity's words as one says them: "walking push-off" for the kind walking-push-off, "between the racks
/// (carrying)" for a carrying named between-the-racks.
std::string spoken(const DayActivity &activity);

/// "TOPIC, ACTIVITY, FORCE N on forefoot and toes": what a picture shows.
std::string picture_topic(const std::string &topic, const ReportInput &input);

// Titles: what a picture says, designs by their letters; the topic where no design can be ranked. Two designs are told
// apart as in the ranking (ranking.hpp).
std::string strain_title(const ReportInput &input); ///< which design leaves least strain in the painful ray
std::string bending_title(const ReportInput &input);
std::string
pressure_title(const ReportInput &input); ///< of the painful head; and whether the strain says the same
std::string bones_title(const ReportInput &input); ///< the painful ray against the reference
std::string day_title(const DayInput &input, const DayRanking &day);

/// What the designs' support elements do to the bending of the painful ray; "" where no design has any.
std::string support_words(const ReportInput &input);

/// "+12 ± 3 % against A", a value of a design against the reference's; "reference" for the reference itself.
std::string to_reference(const ReportInput &input, std::size_t place,
                         const std::function<Banded(const DesignResult &)> &value);

/// "A", "B", ... by a design's place in the case: the same letter on every picture.
std::string design_letter(std::size_t place);

/// The design's title on one line; its name where the font of the pictures cannot draw the title.
std::string picture_name(const ReportInput &input, std::size_t place);

/// "A  NAME", the name as picture_name has it.
std::string lettered_name(const ReportInput &input, std::size_t place);

} // namespace raybend
