// What is wrong with a case file, all faults at once, each with its place.
#pragma once
#include <stdexcept>
#include <string>
#include <vector>

namespace raybend {

/// One fault. `line` 0 means no line is known; `from_set` means the value came from --set, not from the file.
struct Fault {
  std::string file;
  int line = 0;
  std::string key;     ///< concrete path, indices from 1: designs[2].support[1].height_mm; may be empty
  std::string problem; ///< short words; empty: found and allowed say it all
  std::string found;
  std::string allowed;
  std::string hint;       ///< what the value may have meant: "24.1 cm are 241 mm"
  std::string nearest;    ///< nearest known key or choice
  std::string stands_for; ///< key in whose place this one stands, where no message proposes it
  std::string excerpt;    ///< the line itself and a mark below the place; may be empty
  bool from_set = false;

  /// Shows this line, with a mark below that character (from 1; 0: none).
  void point_at(const std::string &text, int character);

  /// Proposes what was likely meant: one name, or several of which none is nearer than the others.
  void propose(const std::vector<std::string> &names);

  /// One line: `file:line: key: problem; found ...; allowed ...; hint; did you mean "..."?`, and the excerpt below.
  std::string message() const;
};

/// Something the user can mend. what() is every fault's message, one a line, of very many the first ones.
class CaseError : public std::runtime_error {
public:
  explicit CaseError(std::vector<Fault> faults);
  const std::vector<Fault> &faults() const { return list; }

private:
  std::vector<Fault> list;
};

/// The whole file is for another command: "PATH: is a beam file, not a forefoot case: use raybend beam PATH".
CaseError other_file(const std::string &path, const std::string &is, const std::string &wanted,
                     const std::string &command);

} // namespace raybend
