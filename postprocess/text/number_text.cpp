// Numbers as text: always with '.', whatever the locale.
#include "postprocess/text/number_text.hpp"
#include <algorithm>
#include <charconv>
#include <cmath>

namespace raybend {

std::string fixed(double value, int digits) {
  if (!std::isfinite(value))
    return "-";
  char buffer[400];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, digits).ptr;
  std::string text(buffer, end);
  if (text[0] == '-' && text.find_first_of("123456789") == std::string::npos)
    text.erase(0, 1);
  return text;
}

std::string signed_fixed(double value, int digits) {
  const std::string text = fixed(value, digits);
  const bool plus =
      std::isfinite(value) && text[0] != '-' && text.find_first_of("123456789") != std::string::npos;
  return plus ? "+" + text : text;
}

std::string band_text(double band, int digits) {
  if (band == 0)
    return "0";
  const std::string text = fixed(band, digits);
  return std::isfinite(band) && text.find_first_of("123456789") == std::string::npos
             ? "<" + fixed(std::pow(10, -digits), digits)
             : text;
}

namespace {

std::string with_band(const std::string &value, const Banded &b, int digits) {
  const std::string band = band_text(b.band, digits);
  const bool nothing = band[0] == '<' && value.find_first_of("123456789") == std::string::npos;
  return b.band == 0 || nothing ? value : value + " ± " + band;
}

} // namespace

std::string banded(const Banded &b, int digits) {
  return with_band(fixed(b.value, digits), b, digits);
}

std::string signed_banded(const Banded &b, int digits) {
  return with_band(signed_fixed(b.value, digits), b, digits);
}

std::string exact(double value) {
  char buffer[64];
  return std::string(buffer, std::to_chars(buffer, buffer + sizeof buffer, value).ptr);
}

std::string csv_number(double value) {
  if (!std::isfinite(value))
    return "";
  char buffer[64];
  constexpr int digits = 7; // what is solved repeats to five or six
  return std::string(
      buffer,
      std::to_chars(buffer, buffer + sizeof buffer, value + 0.0, std::chars_format::general, digits).ptr);
}

std::string csv_exact(double value) {
  return std::isfinite(value) ? exact(value + 0.0) : "";
}

int percent_digits(const Banded &percent) {
  return percent.band < 2 ? 1 : 0;
}

int percent_digits(const std::vector<Banded> &column) {
  int digits = 0;
  for (const Banded &percent : column)
    digits = std::max(digits, percent_digits(percent));
  return digits;
}

} // namespace raybend
