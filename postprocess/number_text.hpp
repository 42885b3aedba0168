// Numbers as text: always with '.', whatever the locale.
#pragma once
#include "solver/results.hpp"
#include <string>

namespace raybend {

/// `digits` after the point; "-" for a value that is not finite; never "-0".
std::string fixed(double value, int digits = 0);

/// As fixed, with a sign always.
std::string signed_fixed(double value, int digits = 0);

/// "value ± band"; both fixed.
std::string banded(const Banded &b, int digits = 0);
std::string signed_banded(const Banded &b, int digits = 0);
/// Digits behind the point for a percentage: one where the band is below 2.
int percent_digits(const Banded &percent);

/// A calculated number for a CSV table: at most 7 significant digits; "" for what is not a finite number.
std::string csv_number(double value);
/// The same with all digits.
std::string csv_exact(double value);

/// Shortest text that reads back to the same double; "nan", "inf", "-inf" where it has to be.
std::string exact(double value);

} // namespace raybend
