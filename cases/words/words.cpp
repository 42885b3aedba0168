// Text for messages: numbers, lists, names near a misspelt one.
#include "cases/words/words.hpp"
#include "cases/words/trade_words.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cstdio>
#include <iterator>
#include <limits>
#include <set>
#include <sstream>

namespace raybend {

std::string number_text(const double value, const int digits) {
  char buffer[64];
  std::snprintf(buffer, sizeof buffer, "%.*g", digits, value);
  return buffer;
}

std::string trimmed(const std::string &text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

std::string list_text(const std::vector<std::string> &items) {
  std::string all;
  for (const std::string &item : items)
    all += (all.empty() ? "" : ", ") + item;
  return all;
}

unsigned edit_distance(const std::string &a, const std::string &b) {
  std::vector<std::vector<unsigned>> d(a.size() + 1, std::vector<unsigned>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i)
    for (std::size_t j = 0; j <= b.size(); ++j) {
      if (i == 0 || j == 0) {
        d[i][j] = i + j;
        continue;
      }
      d[i][j] =
          std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0u : 1u)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  return d[a.size()][b.size()];
}

std::string without_unit(const std::string &key) {
  // longest endings first
  static const char *const units[] = {
      "_mpa_per_mm", "_n_per_mm", "_n_mm", "_microstrain", "_degrees", "_degree", "_inches", "_pounds",
      "_newton",     "_mpa",      "_kpa",  "_gpa",         "_psi",     "_m_s",    "_km_h",   "_mph",
      "_inch",       "_lbs",      "_deg",  "_rad",         "_lb",      "_kg",     "_mm",     "_cm",
      "_in",         "_bw",       "_pct",  "_percent",     "_n",       "_m",      "_g"};
  for (const std::string unit : units)
    if (key.size() > unit.size() && key.compare(key.size() - unit.size(), unit.size(), unit) == 0)
      return key.substr(0, key.size() - unit.size());
  return key;
}

namespace {

/// In small letters, with _ for the space and hyphen that people write in its place.
std::string simple(std::string text) {
  for (char &c : text)
    c = c == ' ' || c == '-' ? '_' : static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  return text;
}

/// Every number replaced by #: eva-35 -> eva-#.
std::string without_numbers(const std::string &text) {
  std::string out;
  for (const char c : text)
    if (c < '0' || c > '9')
      out += c;
    else if (out.empty() || out.back() != '#')
      out += '#';
  return out;
}

std::set<std::string> words_of(const std::string &simple_name) {
  std::set<std::string> words;
  std::istringstream parts(simple_name);
  for (std::string word; std::getline(parts, word, '_');)
    if (!word.empty())
      words.insert(word);
  return words;
}

/// One of a numbered row: ray1.
bool numbered(const std::string &name) {
  return name.find_first_of(" -_") == std::string::npos && name.back() >= '0' && name.back() <= '9';
}

bool holds_all(const std::set<std::string> &words, const std::set<std::string> &part) {
  return !part.empty() && std::includes(words.begin(), words.end(), part.begin(), part.end());
}

} // namespace

std::string nearest_name(const std::string &name, const std::vector<std::string> &names) {
  if (name.empty() || name.size() > 80)
    return "";
  const std::string lower = simple(name);
  const std::string stem = without_unit(lower);
  std::string best;
  unsigned best_cost = std::numeric_limits<unsigned>::max();
  for (const std::string &candidate : names) {
    const std::string plain = simple(candidate);
    const unsigned by_stem = edit_distance(stem, without_unit(plain));
    const unsigned whole = edit_distance(lower, plain);
    const unsigned near = std::min(by_stem, whole);
    const std::size_t edits = std::max<std::size_t>(1, std::min<std::size_t>(3, stem.size() / 3));
    const bool begun = lower.size() == 2 && plain.compare(0, 2, lower) == 0; // al of all
    if (near > (lower.size() < 3 && !begun ? 0 : edits))
      continue;
    const unsigned cost = 100 * near + whole; // of equally near stems the one with the nearer unit
    if (cost < best_cost) {
      best_cost = cost;
      best = candidate;
    }
  }
  return best;
}

std::vector<std::string> likely_names(const std::string &name, const std::vector<std::string> &names) {
  constexpr std::size_t most = 5;
  const auto those = [&names](const auto &fits) {
    std::vector<std::string> list;
    std::copy_if(names.begin(), names.end(), std::back_inserter(list), fits);
    return list;
  };
  const std::string lower = simple(name), pattern = without_numbers(lower);
  for (const auto &[word, meant] : trade_words())
    if (word == without_unit(lower) && std::find(names.begin(), names.end(), lower) == names.end() &&
        (meant.empty() || std::find(names.begin(), names.end(), meant) != names.end()))
      return meant.empty() ? std::vector<std::string>{} : std::vector<std::string>{meant};
  if (const std::string nearest = nearest_name(name, names); !nearest.empty()) {
    const std::string like = without_numbers(simple(nearest));
    if (numbered(nearest) && pattern == lower) { // rays; but ray is a word of painful_ray
      const std::vector<std::string> others = those([&](const std::string &n) {
        return !numbered(n) && holds_all(words_of(simple(n)), words_of(lower));
      });
      return others.empty() ? those([&](const std::string &n) { return without_numbers(simple(n)) == like; })
                            : others;
    }
    if (simple(nearest) == lower || like != pattern)
      return {nearest};
    return those([&](const std::string &n) { return without_numbers(simple(n)) == pattern; });
  }
  if (lower.empty() || lower.size() > 80)
    return {};
  const std::set<std::string> given = words_of(without_unit(lower));
  const auto of = [](const std::string &n) { return words_of(without_unit(simple(n))); };
  std::vector<std::string> longer = those([&](const std::string &n) {
    return simple(n).compare(0, lower.size(), lower) == 0 || holds_all(of(n), given);
  });
  if (pattern == lower && !std::all_of(longer.begin(), longer.end(), numbered))
    longer.erase(std::remove_if(longer.begin(), longer.end(), numbered), longer.end());
  if (!longer.empty())
    return longer.size() > (lower.size() < 2 ? 1 : most) ? std::vector<std::string>{} : longer;
  const std::vector<std::string> parts =
      those([&](const std::string &n) { return n.size() > 1 && holds_all(given, of(n)); });
  return parts.size() > most ? std::vector<std::string>{} : parts;
}

std::string choice_text(const std::vector<std::string> &names) {
  std::string all;
  for (std::size_t i = 0; i < names.size(); ++i)
    all += (i == 0 ? "" : i + 1 < names.size() ? ", " : " or ") + std::string("\"") + names[i] + "\"";
  return all;
}

std::string folded(const std::string &text, const std::size_t width, const std::size_t indent) {
  return wrapped(text, width + indent, std::string(indent, ' '), indent);
}

std::string padded(const std::string &text, const std::size_t width) {
  const std::size_t used = text_width(text);
  return used >= width ? text : text + std::string(width - used, ' ');
}

std::string right_aligned(const std::string &text, const std::size_t width) {
  const std::size_t used = text_width(text);
  return used >= width ? text : std::string(width - used, ' ') + text;
}

std::string quoted(const std::string &text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (c == '\n') {
      out += "\\n";
    } else if (c == '\t') {
      out += "\\t";
    } else if (byte < 0x20 || byte == 0x7f) {
      char buffer[8];
      std::snprintf(buffer, sizeof buffer, "\\u%04X", byte);
      out += buffer;
    } else {
      out += c;
    }
  }
  return out + "\"";
}

std::string printable(const std::string &text, const std::size_t limit) {
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (out.size() >= limit && (byte & 0xc0) != 0x80)
      return out + "...";
    out += byte < 0x20 || byte == 0x7f ? '?' : c;
  }
  return out;
}

bool contains(const std::string &text, const std::string &part) {
  return text.find(part) != std::string::npos;
}

} // namespace raybend
