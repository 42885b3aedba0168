// A published value and what the program found for it, as plain values.
#pragma once
#include <limits>
#include <string>
#include <vector>

namespace raybend {

/// A declared miss: the reason, and bounds on both sides that hold it, so that it cannot grow unseen.
struct DeclaredMiss {
  std::string because; ///< "": none is declared
  double above = 0, below = 0;
};

struct ValidationQuantity {
  static constexpr double none = std::numeric_limits<double>::quiet_NaN();
  std::string name, unit;
  double above = none, below = none; ///< published range; not a number: open on that side
  DeclaredMiss miss;
  double pinned = none; ///< value found when it was last looked at; not a number: never
  double value = none;  ///< found now

  bool decides() const { return above == above || below == below; } ///< false: for information
  bool within() const;                                              ///< the published range
  bool as_pinned() const;                                           ///< to pin_tolerance
};

/// Part of the pinned value that a value may differ by before somebody has to look at it.
constexpr double pin_tolerance = 0.02;
/// The same in per cent of a change or share, where that is more: 2 % of a change of 1 % is less than meshes and
/// compilers move.
constexpr double pin_least_percent = 0.1;

enum class ValidationVerdict {
  met,
  declared,   ///< missed, with a reason and inside the bounds of the miss
  met_by_now, ///< met though a miss is declared: the row no longer says what is true
  missed,     ///< without a reason, or beyond the bounds of the declared miss
  failed      ///< a solve did not converge
};

struct ValidationRow {
  std::string name; ///< of its file
  std::string title, source;
  std::string known;     ///< how the published value is known: read, memory, derived, assumed
  std::string group;     ///< calibrated, direction, independent
  std::string set_by_it; ///< of a calibrated row: the numbers of the model that were set by it
  std::string note;
  std::string resolution; ///< that the values were found at
  bool pins_count = true; ///< false: solved at another resolution than that of the pins
  std::vector<ValidationQuantity> quantities;
  std::string failure; ///< why there are no values
};

ValidationVerdict verdict(const ValidationRow &row);
const char *verdict_word(ValidationVerdict v);

/// True if every value is pinned and stands where it was, or pins do not count.
bool as_pinned(const ValidationRow &row);

/// True if the row's file says what is so: met, or missed as declared, and every value as pinned.
bool as_stated(const ValidationRow &row);

} // namespace raybend
