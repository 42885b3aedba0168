// What is said of numbers that are written with a unit, a comma, a space, or in another unit.
#include "cases/casefile/number_words.hpp"
#include "cases/words/words.hpp"
#include <optional>
#include <regex>

namespace raybend {

namespace {

struct Unit {
  const char *name, *of_key;
  double factor;
};
const Unit units[] = {{"cm", "mm", 10},         {"m", "mm", 1000},          {"in", "mm", 25.4},
                      {"inch", "mm", 25.4},     {"inches", "mm", 25.4},     {"\"", "mm", 25.4},
                      {"lb", "kg", 0.45359237}, {"lbs", "kg", 0.45359237},  {"pounds", "kg", 0.45359237},
                      {"st", "kg", 6.35029318}, {"g", "kg", 0.001},         {"kPa", "MPa", 0.001},
                      {"GPa", "MPa", 1000},     {"km/h", "m/s", 1 / 3.6},   {"mph", "m/s", 0.44704},
                      {"min", "h", 1 / 60.0},   {"minutes", "h", 1 / 60.0}, {"%", "", 0.01}};

/// A number with a decimal point or comma, and what stands behind it.
struct Written {
  double value;
  std::size_t behind_comma; ///< digits; npos: no comma
  std::string unit;
};

std::optional<Written> written_number(const std::string &text) {
  static const std::regex pattern("([-+]?(?:\\d{1,15}[.,]?\\d*|[.,]\\d+))\\s*(\\D*)");
  std::smatch found;
  if (text.size() > 60 || !std::regex_match(text, found, pattern))
    return {};
  std::string number = found[1];
  const std::size_t comma = number.find(',');
  if (comma != std::string::npos)
    number[comma] = '.';
  return Written{std::stod(number), comma == std::string::npos ? comma : number.size() - comma - 1, found[2]};
}

const Range &usual_range(const CatalogueRow &row, const int ray) {
  const Range *usual = row.published_for(ray);
  return usual ? *usual : row.allowed;
}

/// The number that is meant, where that is sure and the key takes it; else "".
std::string number_meant(const CatalogueRow &row, const std::string &text) {
  static const std::regex one_whole("[^\\d]*(\\d{1,5})[^\\d]*"); // 2 of MT2, ray 2 and 2nd
  std::smatch found;
  if (row.type == KeyType::integer)
    return text.size() <= 60 && std::regex_match(text, found, one_whole) &&
                   row.allowed.holds(std::stod(found[1]))
               ? found[1].str()
               : "";
  if (const std::string thousands = thousands_of(row, 0, text, ','); !thousands.empty())
    return thousands;
  const auto w = written_number(text);
  const bool sure = w && row.allowed.holds(w->value) && (w->unit.empty() || w->unit == row.unit) &&
                    w->behind_comma != 3; // 1,600
  return sure ? number_text(w->value, 15) : "";
}

} // namespace

std::string number_wanted(const CatalogueRow *row, const std::string &name, const std::string &text) {
  std::string words = "one whole number is wanted";
  if (!row || row->type != KeyType::integer) {
    words = "one number is wanted, with a decimal point and nothing else";
    if (row && !row->unit.empty() && without_unit(name) != name)
      words += " (" + row->unit + " is in the key's name)";
  }
  const std::string number = row ? number_meant(*row, text) : "";
  return words + (number.empty() ? "" : ": write " + name + " = " + number);
}

std::string in_unit_of_key(const CatalogueRow &row, const std::string &text) {
  if (const auto w = written_number(text); w && w->behind_comma == std::string::npos)
    for (const Unit &u : units)
      if (w->unit == u.name && row.unit == u.of_key)
        return number_text(w->value, 15) + " " + w->unit + " are " + number_text(w->value * u.factor, 4) +
               (row.unit.empty() ? "" : " " + row.unit);
  return "";
}

std::string in_unit_of_key(const CatalogueRow &row, const double value, const int ray) {
  if (row.unit.empty() && row.allowed.high <= 1 && value > 1 && row.allowed.holds(value / 100))
    return number_text(value, 10) + " % are " + number_text(value / 100, 10);
  if (row.unit == "mm" && value != 0)
    for (const auto &[unit, mm] : {std::pair{"cm", 10.0}, std::pair{"m", 1000.0}})
      if (usual_range(row, ray).holds(value * mm))
        return number_text(value, 10) + " " + unit + " are " + number_text(value * mm, 10) + " mm";
  return "";
}

std::string thousands_of(const CatalogueRow &row, const int ray, const std::string &written,
                         const char mark) {
  const std::size_t at = written.find(mark);
  if (at == std::string::npos || at > 3 || written.size() != at + 4 || written[0] == '0' ||
      (written.substr(0, at) + written.substr(at + 1)).find_first_not_of("0123456789") != std::string::npos)
    return "";
  const Range &range = usual_range(row, ray);
  const double thousands = std::stod(written.substr(0, at) + written.substr(at + 1)), x = thousands / 1000;
  const double least = range.low > 0 ? range.low : range.high / 1000;
  return x < least && range.holds(thousands) ? number_text(thousands, 10) : "";
}

} // namespace raybend
