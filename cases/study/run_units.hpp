// Which solves the runs of a study need.
#pragma once
#include "cases/study/store.hpp"
#include "cases/study/study_reader.hpp"

namespace raybend {

/// One solve and the runs that it serves.
struct SolveUnit {
  std::size_t group = 0;    ///< same foot, loads and reference: they share model and reference
  std::size_t activity = 0; ///< in Case::day
  std::size_t point = 0;    ///< place in the plan of the point that it is solved at
  std::string design;
  std::vector<RunName> serves;
};

struct StudyUnits {
  std::vector<SolveUnit> units;
  std::vector<RunRow> refused; ///< runs whose values make no valid case
  std::size_t runs = 0;        ///< all of the study
};

/// The name of an activity in a study's tables.
std::string activity_name(const DayActivity &activity);

/// All solves of a study, in the order of the plan, group by group.
StudyUnits units_of(const ReadStudy &read);

/// The part of the list that share `k` (from 1) of `n` solves: a run of it, so that a group is seldom torn.
StudyUnits share_of(const StudyUnits &all, std::size_t k, std::size_t n);

/// The case at a point. Throws CaseError.
Case case_at(const Study &study, const StudyPoint &point);

} // namespace raybend
