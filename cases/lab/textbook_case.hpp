// What the textbook driver needs to know of a case, whatever kind of body it is about.
#pragma once
#include "postprocess/lab/textbook_result.hpp"
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace raybend {

/// A case ready to run. Built by its reader from the case file; levels are solved from the coarsest up.
class TextbookBody {
public:
  virtual ~TextbookBody() = default;
  virtual std::vector<TextbookQuantity> quantities() const = 0;
  /// Level 0 is the file's own mesh; each further level halves every cell. May throw std::runtime_error (no
  /// convergence).
  virtual TextbookLevel solve(unsigned level) = 0;
  /// Of the last level solved.
  virtual std::vector<TextbookCurve> curves() const = 0;
  /// Displacement and stress of the last level solved, for ParaView; `path` ends in .vtu.
  virtual void write_vtu(const std::string &path) const = 0;
};

} // namespace raybend
