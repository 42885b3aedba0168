// From a textbook case's description to the problem that the solver takes.
#pragma once
#include "cases/lab/formula_set.hpp"
#include "cases/lab/general_case.hpp"
#include "solver/materials/material.hpp"
#include "solver/problem.hpp"

namespace raybend {

/// One variant of a case with all numbers in place.
struct BoundProblem {
  std::string variant; ///< empty: the case has none
  Problem problem;
  Names names; ///< parameters' values and the fields
  std::map<std::string, unsigned> face_ids;
  std::string follows;           ///< the face whose mean rotation turns the tractions; empty: dead loads
  std::shared_ptr<Tensor2> turn; ///< that rotation, read by the tractions

  /// Ids of named faces; a fault for each name that is not there, which has no id in the list.
  std::vector<unsigned> ids(const FaceNames &faces, ReadingLog &log) const;
};

/// Parameters of a variant (nullptr: the case's own), evaluated in the order of the file. Faults go to the
/// log.
Names bind_names(const GeneralCase &c, const VariantSpec *variant, ReadingLog &log);

/// Faults go to the log; the problem is then not fit to be solved, and empty if a parameter has no value.
BoundProblem bind_problem(const GeneralCase &c, const VariantSpec *variant, ReadingLog &log);

/// Runs `work`; an EntryError becomes a fault of its entry, true if there was none.
bool without_fault(ReadingLog &log, const std::function<void()> &work);

/// Names that stand for what a solved body shows at a point; parameters and fields can not have them.
const std::vector<std::string> &sample_names();

} // namespace raybend
