// What every file that varies a case has: the case it names, and inputs by their keys.
#pragma once
#include "cases/forefoot/case.hpp"
#include "cases/study/study.hpp"
#include "cases/study/study_table.hpp"
#include <functional>

namespace raybend {

/// Reads `title`, `set` and `case` into the study and the case into `base`. `sets`: further changes, as --set takes them,
/// behind those of the file. Logs faults; throws CaseError for those of the case itself.
void read_named_case(StudyTable &top, Study &study, Case &base, const std::vector<std::string> &sets);

/// How one input varies: its table, its first key, the key's row, the case's value where it has one.
using VariationReader = std::function<Marginal(StudyTable &, const std::string &, const CatalogueRow &,
                                               const std::optional<double> &)>;

/// Reads `key`, `name` and, with `variation`, the rest of one input into the study's inputs. Logs faults; false where there is
/// no such key.
bool read_input(StudyTable &table, Study &study, const Case &base, const VariationReader &variation);

/// An input's value in the case (of words their place in the list); nothing where the case does not say one.
std::optional<double> value_in_case(const Varied &input, const Case &base);

/// Names of columns: unlike one another and the outputs'. Logs faults at the key `at`.
void name_apart(StudyTable &top, Study &study, const std::string &at);

/// The names of a case's designs, in its order.
std::vector<std::string> design_names(const Case &base);

} // namespace raybend
