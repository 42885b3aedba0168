// What is said of numbers that are written with a unit, a comma, a space, or in another unit.
#include "cases/casefile/number_words.hpp"
#include "cases/words/words.hpp"
#include <cmath>
#include <cstdlib>
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

/// A number, its decimal comma, and a unit without digits.
struct Written {
  std::string number, unit;
  bool grouped = false, comma = false;
};

bool written_number(const std::string &text, Written &w) {
  // digits in groups of three parted by a space or an apostrophe, or plain ones; then point or comma, then the unit
  static const std::regex pattern(
      "([-+]?(?:\\d{1,3}(?:(?: |'|\u2019|\u00a0|\u202f)\\d{3})+|\\d+)(?:\\.\\d+)?)(,\\d+)?"
      "(?:[eE][-+]?\\d+)?\\s*([^\\d\\s+\\-,;./:*~<>(\\[{][^\\d,;]*)?");
  std::smatch found;
  if (text.size() > 60 || !std::regex_match(text, found, pattern))
    return false;
  for (const char *sign : {"±", "½", "¼", "¾"}) // no unit
    if (contains(text, sign))
      return false;
  w = {found[1], trimmed(found[3]), false, found[2].matched};
  w.grouped = w.number.find_first_not_of("0123456789.+-") != std::string::npos;
  return true;
}

const Range &usual_range(const CatalogueRow &row, const int ray) {
  const Range *usual = row.published_for(ray);
  return usual ? *usual : row.allowed;
}

/// The one whole number among other words: 2 of MT2, ray 2 and 2nd; "" if there is none or more than one.
std::string the_whole_number(const std::string &text) {
  static const std::regex pattern("[^\\d]*(\\d{1,5})[^\\d]*");
  std::smatch found;
  return text.size() <= 60 && std::regex_match(text, found, pattern) ? found[1].str() : "";
}

} // namespace

std::string number_wanted(const CatalogueRow *row, const std::string &name, const std::string &text,
                          const std::string &how) {
  const auto write = [&name](const std::string &number) { return ": write " + name + " = " + number; };
  if (row && row->type == KeyType::integer) {
    const std::string number = the_whole_number(text);
    const bool good = !number.empty() && row->allowed.holds(std::stod(number));
    return "one whole number is wanted" + how + (good ? write(number) : "");
  }
  if (const std::string thousands = row ? thousands_of(*row, 0, text, ',') : ""; !thousands.empty())
    return "a number is wanted" + (how.empty() ? ", without a mark between its digits" : how) +
           write(thousands);
  char *end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (end != text.c_str() && *end == '\0' && std::isfinite(value))
    return std::abs(value) < 1e15 ? "a number is wanted" + how + write(number_text(value, 15))
                                  : "the number is too long";
  Written w;
  if (!written_number(text, w))
    return std::string(end == text.c_str() ? "a number is wanted"
                                           : "one number is wanted, with a decimal point and nothing else") +
           how;
  if (w.comma && w.number.find('.') != std::string::npos)
    return "a number is wanted, with a decimal point and no other mark between its digits";
  std::string words;
  const auto add = [&words](const std::string &more) { words += (words.empty() ? ", " : " and ") + more; };
  if (!how.empty())
    add(how.substr(2));
  if (w.comma)
    add("with a decimal point, not a comma");
  if (w.grouped)
    add("without a space or mark between its digits");
  if (!w.unit.empty())
    add("without a unit" + (row && !row->unit.empty() && without_unit(name) != name
                                ? " (" + row->unit + " is in the key's name)"
                                : ""));
  return "a number is wanted" + words;
}

std::string in_unit_of_key(const CatalogueRow &row, const std::string &text) {
  Written w;
  if (!written_number(text, w) || w.grouped || w.comma)
    return "";
  for (const Unit &u : units)
    if (w.unit == u.name && row.unit == u.of_key)
      return w.number + " " + w.unit + " are " + number_text(std::stod(w.number) * u.factor, 4) +
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
