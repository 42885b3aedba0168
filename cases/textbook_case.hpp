// What the textbook driver needs to know of a case, whatever kind of body it is about.
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace raybend {

/// One number to compare, in the order a case lists them.
struct TextbookQuantity {
  std::string name, unit;
  double reference = 0;
  std::string known;  ///< "read", "calc" or "memory": how the reference value came to be known
  std::string source; ///< paper, book section, formula
  double tolerance_percent = 0;
  bool decides = true; ///< false: printed for information, no part in the verdict
  std::string note;    ///< trap or reason, may be empty
};

/// What one refinement level gave.
struct TextbookLevel {
  unsigned long unknowns = 0;
  double seconds = 0;
  std::vector<double> values; ///< one a quantity
};

/// Computed points over a closed form, for the plot of a case.
struct TextbookCurve {
  std::string title, x_label, y_label;          ///< labels with units
  std::vector<double> x, computed, closed_form; ///< closed_form may be empty
};

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
