// What a textbook case asked and gave, as plain values.
#pragma once
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
  bool decides = true;  ///< false: printed for information, no part in the verdict
  std::string note;     ///< trap or reason, may be empty
  double tolerance = 0; ///< absolute, in the quantity's unit; counts instead of the percentage where > 0
  std::string why = {}; ///< likely reason of a declared miss; empty: a miss is a failure
  double formal_order =
      2; ///< in the size of cells: 2 for strain and stress of quadratic elements, 4 for energy
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

/// All of a case.
struct TextbookResult {
  std::string name, title, source;
  std::vector<TextbookQuantity> quantities;
  std::vector<TextbookLevel> levels; ///< from the coarsest
  std::vector<TextbookCurve> curves;
  std::string failure; ///< why the calculation stopped; empty: it did not
  double seconds = 0;

  double error_percent(std::size_t quantity,
                       std::size_t level) const; ///< signed; not a number if reference is 0
  bool within(std::size_t quantity) const;       ///< on the finest level
};

enum class Verdict { met, declared, missed, failed };

/// `declared`: missed, with a reason given for each quantity missed.
Verdict verdict(const TextbookResult &result);
const char *verdict_word(Verdict v); ///< "met", "missed (declared)", "missed", "failed"

} // namespace raybend
