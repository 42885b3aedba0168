#include "cases/casefile/number_slip.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cctype>
#include <map>
#include <sstream>
#include <vector>

namespace raybend {

namespace {

bool digit(const char c) {
  return c >= '0' && c <= '9';
}
bool of_a_key(const char c) {
  return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-';
}
bool begins_unit(const char c) { // letters, %, inch and degree signs
  return std::isalpha(static_cast<unsigned char>(c)) || c == '%' || c == '\'' || c == '"' ||
         static_cast<unsigned char>(c) >= 0x80;
}

/// 12 ± 0.5 is no number with a unit, nor is 8 ½.
bool spread_at(const std::string &text, const std::size_t at) {
  return text.compare(at, 2, "±") == 0 || text.compare(at, 3, "+/-") == 0 || text.compare(at, 2, "+-") == 0;
}
bool fraction_at(const std::string &text, const std::size_t at) {
  return text.compare(at, 2, "½") == 0 || text.compare(at, 2, "¼") == 0 || text.compare(at, 2, "¾") == 0;
}

std::size_t after_digits(const std::string &text, std::size_t at) {
  while (at < text.size() && digit(text[at]))
    ++at;
  return at;
}

/// Where digits in groups of three end, with a space or an apostrophe between: 17 000, 17'000; 0 if there is
/// no second group.
std::size_t after_groups(const std::string &text) {
  std::size_t at = after_digits(text, 0), end = 0;
  if (at == 0 || at > 3)
    return 0;
  while (at < text.size()) {
    std::size_t mark = 0;
    for (const std::string each : {" ", "'", "’", "\u00a0", "\u202f"})
      if (text.compare(at, each.size(), each) == 0)
        mark = each.size();
    if (mark == 0 || after_digits(text, at + mark) != at + mark + 3)
      break;
    end = at = at + mark + 3;
  }
  return end;
}

/// Where the number that `text` begins with ends; 0 if it begins with none.
std::size_t after_number(const std::string &text) {
  const std::size_t first = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  std::size_t at = after_digits(text, first);
  if (at == first)
    return 0;
  if (at + 1 < text.size() && text[at] == '.' && digit(text[at + 1]))
    at = after_digits(text, at + 1);
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    const std::size_t sign = at + 1 < text.size() && (text[at + 1] == '-' || text[at + 1] == '+') ? 1 : 0;
    if (at + 1 + sign < text.size() && digit(text[at + 1 + sign]))
      at = after_digits(text, at + 1 + sign);
  }
  return at;
}

std::string line_of(const std::string &text, const int line) {
  std::istringstream lines(text);
  std::string words;
  for (int n = 0; n < line; ++n)
    if (!std::getline(lines, words))
      return "";
  return words;
}

/// The row of that key; of a key inside a list on one line any row with its name, for its unit alone.
const CatalogueRow *row_of(const std::string &key) {
  if (const CatalogueRow *row = find_catalogue_row(general_key(key)))
    return row;
  const std::string ending = "." + key.substr(key.find_last_of('.') + 1);
  for (const CatalogueRow &row : catalogue())
    if (row.key.size() > ending.size() &&
        row.key.compare(row.key.size() - ending.size(), std::string::npos, ending) == 0)
      return &row;
  return nullptr;
}

/// What the number with its unit is in the key's unit: "26 cm are 260 mm"; "" if the units are not of one sort
/// or the same.
std::string in_unit_of_key(const std::string &value, const std::string &unit) {
  struct Unit {
    const char *name, *of_key;
    double factor;
  };
  static const Unit units[] = {
      {"cm", "mm", 10},         {"m", "mm", 1000},          {"in", "mm", 25.4},
      {"inch", "mm", 25.4},     {"inches", "mm", 25.4},     {"\"", "mm", 25.4},
      {"lb", "kg", 0.45359237}, {"lbs", "kg", 0.45359237},  {"pounds", "kg", 0.45359237},
      {"st", "kg", 6.35029318}, {"g", "kg", 0.001},         {"kPa", "MPa", 0.001},
      {"GPa", "MPa", 1000},     {"km/h", "m/s", 1 / 3.6},   {"mph", "m/s", 0.44704},
      {"min", "h", 1 / 60.0},   {"minutes", "h", 1 / 60.0}, {"%", "", 0.01}};
  const std::size_t end = after_number(value);
  const std::string given = trimmed(value.substr(end));
  for (const Unit &u : units)
    if (given == u.name && unit == u.of_key && end > 0)
      return value.substr(0, end) + " " + given + " are " +
             number_text(std::stod(value.substr(0, end)) * u.factor, 4) + (unit.empty() ? "" : " " + unit);
  return "";
}

/// `kind` of the support element that the key stands in, "" elsewhere.
Fault fault_of(const std::string &name, const NumberSlip &slip, const std::string &table,
               const std::string &kind, const bool inside) {
  Fault f;
  f.key = table.empty() || inside ? name : table + "." + name;
  f.found = printable(slip.value);
  const std::string of_kind = kind.empty() || inside ? "" : "designs[].support[" + kind + "]." + name;
  const CatalogueRow *row = find_catalogue_row(of_kind);
  const bool sure = row || find_catalogue_row(general_key(f.key));
  if (!row)
    row = row_of(f.key);
  f.problem = slip.wanted(name, row ? row->unit : "");
  if (const std::string thousands = row ? thousands_of(*row, 0, slip.value, ',') : ""; !thousands.empty())
    f.problem = "a number is wanted, without a mark between its digits: write " + name + " = " + thousands;
  if (row && row->type == KeyType::integer)
    f.problem = whole_number_wanted(*row, name, slip.value);
  else if (slip.unit && !slip.comma && !slip.grouped &&
           slip.value.find_first_of("0123456789", after_number(slip.value)) != std::string::npos)
    f.problem = "one number is wanted, written out"; // 8h30
  else if (contains(slip.value, ",") && contains(slip.value, "."))
    f.problem = "a number is wanted, with a decimal point and no other mark between its digits";
  else if (row && slip.unit && !slip.comma)
    f.hint = in_unit_of_key(slip.value, row->unit);
  if (!row && !inside)
    f.propose(likely_names(name, names_in(general_key(table))));
  else if (row && sure && (row->type == KeyType::number || row->type == KeyType::integer))
    f.allowed = row->allowed_words();
  return f;
}

} // namespace

std::string open_table(const std::string &text, const int line) {
  std::map<std::string, int> places; // how many tables of that list there are so far
  std::istringstream lines(text);
  std::string path, words;
  for (int n = 1; n < line && std::getline(lines, words); ++n) {
    words = trimmed(words);
    const bool list = words.compare(0, 2, "[[") == 0;
    const std::size_t end = words.find(']');
    if (words.empty() || words[0] != '[' || end == std::string::npos)
      continue;
    std::istringstream names(words.substr(list ? 2 : 1, end - (list ? 2 : 1)));
    path.clear();
    for (std::string name; std::getline(names, name, '.');) {
      path += (path.empty() ? "" : ".") + trimmed(name);
      if (list && names.eof())
        ++places[path];
      if (const auto it = places.find(path); it != places.end())
        path += "[" + std::to_string(it->second) + "]";
    }
  }
  return path;
}

std::string open_kind(const std::string &text, const int line) {
  if (general_key(open_table(text, line)) != "designs[].support[]")
    return "";
  std::istringstream lines(text);
  std::string kind, words;
  for (int n = 1; std::getline(lines, words); ++n) {
    words = trimmed(words);
    if (words.compare(0, 1, "[") == 0) {
      if (n > line)
        break;
      kind.clear();
    }
    if (words.compare(0, 4, "kind") == 0 && trimmed(words.substr(4)).compare(0, 1, "=") == 0) {
      const std::size_t open = words.find_first_of("\"'");
      kind = open == std::string::npos
                 ? ""
                 : words.substr(open + 1, words.find_first_of("\"'", open + 1) - open - 1);
    }
  }
  return kind;
}

std::string thousands_of(const CatalogueRow &row, const int ray, const std::string &written,
                         const char mark) {
  const std::size_t at = written.find(mark);
  if (at == std::string::npos || at > 3 || written.size() != at + 4 || written[0] == '0' ||
      (written.substr(0, at) + written.substr(at + 1)).find_first_not_of("0123456789") != std::string::npos)
    return "";
  const Range *usual = row.published_for(ray);
  const Range &range = usual ? *usual : row.allowed;
  const double thousands = std::stod(written.substr(0, at) + written.substr(at + 1)), x = thousands / 1000;
  const double least = range.low > 0 ? range.low : range.high / 1000;
  return x < least && range.holds(thousands) ? number_text(thousands, 10) : "";
}

std::string NumberSlip::wanted(const std::string &key, const std::string &unit_of_key) const {
  std::string text = "a number is wanted";
  if (comma)
    text += ", with a decimal point, not a comma";
  if (grouped)
    text += std::string(comma ? " and" : ",") + " without a space or mark between its digits";
  if (unit) {
    text += std::string(comma || grouped ? " and" : ",") + " without a unit";
    if (!unit_of_key.empty() && without_unit(key) != key)
      text += " (" + unit_of_key + " is in the key's name)";
  }
  return text;
}

std::string the_whole_number(const std::string &text) {
  const char *const digits = "0123456789";
  const std::size_t first = text.find_first_of(digits);
  if (first == std::string::npos)
    return "";
  const std::string number = text.substr(first, text.find_first_not_of(digits, first) - first);
  const bool alone = text.find_first_of(digits, first + number.size()) == std::string::npos;
  return alone && number.size() < 6 ? number : "";
}

std::string whole_number_wanted(const CatalogueRow &row, const std::string &name, const std::string &text,
                                const std::string &how) {
  const std::string number = the_whole_number(text), words = "one whole number is wanted" + how;
  return number.empty() || !row.allowed.holds(std::stod(number)) ? words
                                                                 : words + ": write " + name + " = " + number;
}

std::optional<NumberSlip> number_slip(const std::string &text) {
  std::size_t at = after_number(text);
  if (at == 0 || at >= text.size())
    return {};
  NumberSlip slip;
  if (const std::size_t groups = after_groups(text); groups > 0) {
    at = groups;
    slip.grouped = true;
  }
  if (at + 1 < text.size() && text[at] == ',' && digit(text[at + 1])) {
    at = after_digits(text, at + 1);
    slip.comma = true;
  }
  if (at == text.size()) {
    slip.value = text;
    return slip;
  }
  const bool radix = text.substr(0, at) == "0" && std::string("xob").find(text[at]) != std::string::npos;
  const std::size_t next = std::min(text.find_first_not_of(" \t", at), text.size());
  if (spread_at(text, next) || fraction_at(text, next))
    return {};
  slip.unit = next < text.size() && begins_unit(text[next]) && !radix;
  if (slip.unit)
    at = std::min(text.find_first_of(",}]#", next), text.size());
  else if (next < text.size() && std::string(",}]#\r").find(text[next]) == std::string::npos)
    return {}; // something else follows: a date, a sum
  if (!slip.comma && !slip.unit && !slip.grouped)
    return {};
  slip.value = trimmed(text.substr(0, at));
  return slip;
}

std::optional<Fault> number_fault(const std::string &text, const int line, const int column) {
  const std::string words = line_of(text, line);
  int character = 0; // of words[i], counted as the parser does
  char quote = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const char c = words[i];
    character += (static_cast<unsigned char>(c) & 0xc0) != 0x80;
    if (column > 0 && character > column)
      break;
    if (quote != 0) {
      quote = c == quote ? 0 : quote;
      continue;
    }
    if (c == '"' || c == '\'')
      quote = c;
    if (c == '#')
      break;
    if (c != '=')
      continue;
    const std::string before = trimmed(words.substr(0, i));
    std::size_t first = before.size();
    while (first > 0 && of_a_key(before[first - 1]))
      --first;
    const std::size_t value = words.find_first_not_of(" \t", i + 1);
    if (first == before.size() || value == std::string::npos)
      continue;
    if (first > 0 && before.find_first_of("{,#") == std::string::npos)
      return {}; // a key of several words
    if (const auto slip = number_slip(words.substr(value))) {
      Fault f =
          fault_of(before.substr(first), *slip, open_table(text, line), open_kind(text, line), first > 0);
      f.line = line;
      return f;
    }
  }
  return {};
}

} // namespace raybend
