// What a study gives people: tables, pictures, words.
#pragma once
#include "cases/study/store.hpp"
#include "cases/study/study_reader.hpp"

namespace raybend {

struct StudyReport {
  std::string summary;          ///< as on the terminal
  std::string missing_pictures; ///< "" if none is missing
  std::size_t done = 0;         ///< runs that are done
};

/// The plan as CSV, a point a line.
std::string plan_table(const ReadStudy &read);

/// Writes everything into the folder `out`, which is there whole or not at all. `runs`: of the whole study. Throws
/// std::runtime_error in words for people.
StudyReport write_study(const ReadStudy &read, StudyStore &store, std::size_t runs, const std::string &out,
                        bool pictures, bool progress);

} // namespace raybend
