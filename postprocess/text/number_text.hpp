// Numbers as text: always with '.', whatever the locale.
#pragma once
#include "solver/results.hpp"
#include <string>
#include <vector>

namespace raybend {

/// `digits` after the point; "-" for a value that is not finite; never "-0".
std::string fixed(double value, int digits = 0);

/// As fixed, with a sign always.
std::string signed_fixed(double value, int digits = 0);

/// A band as fixed; one that would read 0 as "<1", "<0.1".
std::string band_text(double band, int digits);

/// "value ± band"; without a band (zero), or where both would read 0, the value alone.
std::string banded(const Banded &b, int digits = 0);
std::string signed_banded(const Banded &b, int digits = 0);
/// Digits behind the point for a percentage: one where the band is below 2.
int percent_digits(const Banded &percent);
/// The same for a column of them: as many as the one with most.
int percent_digits(const std::vector<Banded> &column);

/// A calculated number for a CSV table: at most 7 significant digits; "" for what is not a finite number.
std::string csv_number(double value);
/// The same with all digits.
std::string csv_exact(double value);

/// Shortest text that reads back to the same double; "nan", "inf", "-inf" where it has to be.
std::string exact(double value);

} // namespace raybend
