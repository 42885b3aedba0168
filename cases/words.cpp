#include "cases/words.hpp"
#include "postprocess/text_table.hpp"
#include <algorithm>
#include <cstdio>
#include <limits>

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

std::string nearest_name(const std::string &name, const std::vector<std::string> &names) {
  if (name.empty() || name.size() > 80)
    return "";
  const auto simple = [](std::string text) {
    for (char &c : text)
      c = c == ' ' || c == '-' ? '_' : static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    return text;
  };
  const std::string lower = simple(name);
  const std::string stem = without_unit(lower);
  std::string best;
  unsigned best_cost = std::numeric_limits<unsigned>::max();
  for (const std::string &candidate : names) {
    const std::string plain = simple(candidate);
    const unsigned by_stem = edit_distance(stem, without_unit(plain));
    const unsigned whole = edit_distance(lower, plain);
    const unsigned near = std::min(by_stem, whole);
    if (near > std::max<std::size_t>(1, std::min<std::size_t>(3, stem.size() / 3)))
      continue;
    const unsigned cost = 100 * near + whole; // of equally near stems the one with the nearer unit
    if (cost < best_cost) {
      best_cost = cost;
      best = candidate;
    }
  }
  return best;
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
