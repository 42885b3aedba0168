// What a search for the best design varies, and one design that it looked at.
#pragma once
#include "postprocess/study/study_data.hpp"
#include <limits>
#include <string>
#include <vector>

namespace raybend {

/// A number between limits, or one of a list (StudyInput::list).
struct BestInput : StudyInput {
  double low = 0, high = 0; ///< limits; of a list its least and largest value
  double step = 0;          ///< what a number between limits is rounded to, from `low` on

  bool between_limits() const { return !list; }
  double range() const { return high > low ? high - low : 1; }
};

/// A value of each input and what was solved there. NaN: not known.
struct Candidate {
  static constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

  std::vector<double> x;
  int round = 0;              ///< of the search; 0: the sample before it
  bool solved = false;        ///< with everything below
  std::string why_not;        ///< it is not solved
  double aim = unknown;       ///< to be least, > 0
  std::vector<double> use;    ///< what it uses of each cap: up to 1 is within
  double pressure = unknown;  ///< kPa, largest peak pressure under a head of another ray than the painful one
  double predicted = unknown; ///< the aim, foretold before it was solved

  /// Solved, and within every cap.
  bool within() const {
    bool all = solved;
    for (const double u : use)
      all = all && u <= 1;
    return all;
  }
};

} // namespace raybend
