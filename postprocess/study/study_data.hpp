// The runs of a study as plain numbers.
#pragma once
#include <string>
#include <vector>

namespace raybend {

enum class StudyPlan { grid, one_at_a_time, sample };

struct StudyInput {
  std::string name;               ///< ends in its unit
  bool list = false;              ///< takes the values of `measure` only
  std::vector<std::string> words; ///< of a list of words, by place; empty: numbers
  std::vector<double> measure;    ///< values that are equally likely (surrogate.hpp)
};

/// One output of one design under one activity, at all points that are done.
struct StudySeries {
  std::string activity, design, output;
  int ray = 0;
  std::vector<std::size_t> point;  ///< places in StudyData::points
  std::vector<double> value, band; ///< band: of the mesh; NaN where none is known
};

struct StudyData {
  std::string title, case_title, note;
  StudyPlan plan = StudyPlan::grid;
  bool correlated = false;
  bool coarse = false; ///< solved at coarse resolution
  bool several_activities = false;
  std::vector<StudyInput> inputs;
  std::vector<std::vector<double>> points; ///< rows of inputs.size() numbers; one at a time: the base first
  std::vector<StudySeries> series;         ///< designs of one output, activity and ray stand together
  std::size_t runs = 0, done = 0, failed = 0, refused = 0;
  std::vector<std::string> reasons; ///< of some that are not done
};

} // namespace raybend
