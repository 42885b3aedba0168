// From a case file to a Case: the whole input is checked in one place before anything is calculated.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Reads a case file, applies `sets` ("key=value") and fills in defaults. Throws CaseError with every fault
/// found.
Case read_case(const std::string &path, const std::vector<std::string> &sets = {});

/// What is asked of a case besides its keys: a comparison needs two designs, a study one; warnings cost more than all else.
struct ReadingRules {
  std::size_t least_designs = 2;
  bool warnings = true;
};

/// Same from text; `path` is used in messages only.
Case read_case_from_text(const std::string &text, const std::string &path,
                         const std::vector<std::string> &sets = {}, const ReadingRules &rules = {});

/// File name without folders and ending: cases/warehouse.toml -> warehouse.
std::string case_stem(const std::string &path);

} // namespace raybend
