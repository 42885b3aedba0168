// The files of textbook cases: where they are, and a body made from one.
#pragma once
#include "cases/lab/textbook_case.hpp"

namespace raybend {

/// A case read and checked, nothing solved.
struct LoadedCase {
  std::string name, title, source, path;
  unsigned levels = 3;
  double cost = 0; ///< s, roughly
  std::unique_ptr<TextbookBody> body;
  std::vector<std::string> warnings; ///< of the file: what is harmless, and likely a slip
};

/// The first of these folders that holds case files. Throws std::runtime_error, in words for people, if none does.
std::string folder_with_cases(const std::vector<std::string> &folders);

/// Paths of the ready cases of a room ("textbook", "validation"), sorted by name as people count: A2 before A10. They
/// are looked for from the program's place, in a tree of sources (../cases/textbook) and where it is installed
/// (../share/raybend/cases/textbook), then in the sources that it was built from. Throws like folder_with_cases.
std::vector<std::string> ready_cases(const std::string &room = "textbook");

/// Their names and titles, one a line.
std::string case_list(const std::string &room = "textbook");

/// A case's name: its file's name without folder and ending.
std::string case_name(const std::string &path);

/// Path for a name or a path; throws CaseError with the nearest name if there is none. Upper and lower case
/// count as the same. `name` may also be the part before the first dash, if one ready case only begins so.
std::string find_case(const std::string &name, const std::string &room = "textbook");

/// Title of a case, read without making its body; throws CaseError.
std::string case_title(const std::string &path);

/// Reads, checks everything, builds the body. Throws CaseError with all faults. Call after MPI has started if
/// the body is to be solved.
LoadedCase load_case(const std::string &path);

} // namespace raybend
