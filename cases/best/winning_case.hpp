// The best design written back as a case file.
#pragma once
#include "cases/best/best.hpp"

namespace raybend {

struct WinningCase {
  std::string text;                  ///< of a file that `raybend check` accepts
  std::string name;                  ///< of the best design in it
  std::vector<std::string> warnings; ///< that the reader has of this design
};

/// The case's own text with the best design behind its others, written out whole; its other designs stay. Where that is no valid case
/// (twelve designs are there already), the whole case written out anew with the best design in its own place, and without its comments.
/// Changes of the case that are none of this design (`set`) are in the file's first lines as words.
WinningCase winning_case(const Best &best, const std::vector<double> &place);

} // namespace raybend
