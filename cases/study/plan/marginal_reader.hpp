// How an input of a study file varies.
#pragma once
#include "cases/catalogue/catalogue.hpp"
#include "cases/study/plan/marginal.hpp"
#include "cases/study/study_table.hpp"

namespace raybend {

/// Reads values, a range or a distribution of the key with that row, each within what the row allows. `in_case`: the case's
/// value, about which the catalogue's spread lies. Logs faults.
Marginal read_marginal(StudyTable &table, const std::string &key, const CatalogueRow &row,
                       std::optional<double> in_case);

} // namespace raybend
