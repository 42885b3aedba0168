// Everything a report on one activity is made of, as plain values: the case as it was resolved and what every
// design gave. A day of several activities: day.hpp.
#pragma once
#include "geometry/forefoot.hpp"
#include "geometry/insole.hpp"
#include "postprocess/sure/sureness.hpp"
#include "solver/loads.hpp"
#include "solver/results.hpp"
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace raybend {

struct DesignOutcome {
  Design design;
  std::vector<std::string> made_of; ///< words: its fit, each layer from the ground up, each support element, its shoe
  DesignResult with;                ///< over the whole step (step.hpp)
  DesignResult without; ///< the same insole without its support elements; equal to `with` if it has none
  StepResult with_instants, without_instants; ///< one result an instant
  /// Names of the solves that gave them; insoles that behave alike share one solve. Empty: not known.
  std::string with_solve, without_solve;

  bool has_support() const { return !design.support.empty(); }
  /// The title, or the key where there is none.
  const std::string &name_for_people() const { return design.title.empty() ? design.name : design.title; }
};

struct ReportInput {
  std::string title, question, note, case_path, case_text;
  Forefoot foot;
  DayActivity activity;
  std::vector<DesignOutcome> outcomes;
  std::string reference; ///< Design::name of the reference; empty: the first
  std::vector<std::string> warnings;
  struct Resolved {
    std::string key, value, unit, origin;
  };
  std::vector<Resolved> resolved;

  const Resolved *find(const std::string &key) const; ///< nullptr if there is none

  std::vector<std::string> changes; ///< "key=value" as the command line changed the case file
  std::vector<std::pair<std::string, std::string>> versions;
  std::string date;             ///< of the calculation, ISO 8601; empty: not said
  double seconds = 0;           ///< wall time of solving all designs, without tables and pictures
  std::optional<Sureness> sure; ///< how often it would come out otherwise, where that was asked
  bool has_chances() const { return sure && sure->why_not.empty(); }
};

/// The case file as it was read; what the command line changed stands in comments on top. Empty
/// where there is no file.
std::string case_echo(const ReportInput &input);

/// Place of the reference design in `outcomes`; throws std::invalid_argument if the name is unknown or there
/// are no outcomes.
std::size_t reference_place(const ReportInput &input);

} // namespace raybend
