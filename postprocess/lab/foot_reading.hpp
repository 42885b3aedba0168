// Numbers that are read from a solved foot to be set against a published one: few, each with a name.
#pragma once
#include "solver/results.hpp"
#include <string>
#include <vector>

namespace raybend {

/// What one insole under one activity gave.
struct FootRun {
  std::vector<DesignResult> instants; ///< of the activity: one, or several that make a course
  double body_weight = 0;             ///< N, without what is carried
};

/// One number of a run. `ray` 0: no ray is named.
struct FootReading {
  std::string what; ///< FootReadingKind::name
  int ray = 0;
  std::string
      side; ///< of a strain: dorsal, plantar, medial, lateral; "": wherever round the section it is largest
  double at =
      -1; ///< of a strain: fraction of the ray's length; negative: the shaft's peak, wherever it stands
};

/// Whether a reading is of one ray.
enum class OfRay { never, may, must };

/// What there is to be read.
struct FootReadingKind {
  std::string name, unit;
  OfRay ray = OfRay::never;
  bool of_strain = false; ///< takes `side` and `at`
  std::string words;      ///< with RAY where the ray's number stands
};
const std::vector<FootReadingKind> &foot_reading_kinds();
/// Throws std::logic_error for a name that is not there.
const FootReadingKind &foot_reading_kind(const std::string &name);

/// Signed, in the kind's unit. Of several instants that of largest magnitude counts, of head shares each head's own
/// largest force. Not a number where the run has none (a strain beyond the sections that were cut).
double read_foot(const FootReading &reading, const FootRun &run);

/// "dorsal strain of MT2 at 0.5 of its length"
std::string words_of(const FootReading &reading);

} // namespace raybend
