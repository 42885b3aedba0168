// From a study file to a Study: everything is checked before anything is calculated.
#pragma once
#include "cases/forefoot/case.hpp"
#include "cases/study/study.hpp"

namespace raybend {

struct ReadStudy {
  Study study;
  Case base;                      ///< the case with the study's own changes
  std::vector<StudyPoint> points; ///< of the plan
};

/// Reads the study's file and its case. `sets`: further changes of the case, as --set takes them. Throws CaseError with
/// every fault found; those of the case have its own file and lines.
ReadStudy read_study(const std::string &path, const std::vector<std::string> &sets = {});

} // namespace raybend
