// Names of inputs and outputs as people read them.
#pragma once
#include "postprocess/study/study_data.hpp"
#include <string>
#include <vector>

namespace raybend {

/// behind_heads_mm -> "behind heads, mm"; peak_strain_ue -> "peak strain, microstrain".
std::string spoken_name(const std::string &column);

/// "peak strain of ray 2, microstrain", with the activity where there are several.
std::string series_words(const StudyData &data, const StudySeries &series);

/// A value of an input: its word, or a number of four digits.
std::string input_value(const StudyInput &input, double value);

/// Series of one output, activity and ray, a list for each.
std::vector<std::vector<std::size_t>> series_groups(const StudyData &data);

} // namespace raybend
