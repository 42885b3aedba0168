// What is said of a line that is no TOML. One way for all slips: find key and value as they were meant, then say what
// the key takes and how that is written.
#include "cases/casefile/typing_slip.hpp"
#include "cases/casefile/number_words.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <boost/algorithm/string.hpp>
#include <cctype>
#include <map>
#include <regex>
#include <vector>

namespace raybend {

namespace {

using Lines = std::vector<std::string>;
using boost::starts_with;
constexpr std::size_t longest = 400; // of what is looked at: a line of any length may be typed

/// With straight quotes for those of word processors and of other languages, and for accents that stand for them.
std::string straight_quotes(const std::string &text) {
  static const std::regex odd("“|”|„|‟|«|»|″|‘|’|‚|‛|‹|›|′|´|`");
  return std::regex_replace(text, odd, "\"");
}

/// The text up to its remark, with dots for what stands between straight quotes.
std::string skeleton(const std::string &text) {
  std::string bones;
  char quote = 0, before = 0;
  for (const char c : text) {
    if (quote == 0 && c == '#')
      break;
    bones += quote == 0 ? c : '.';
    if (quote == 0 && (c == '"' || c == '\''))
      quote = c;
    else if (c == quote && before != '\\')
      quote = 0;
    before = c;
  }
  return bones;
}

std::string without_remark(const std::string &text) {
  return trimmed(text.substr(0, skeleton(text).size()));
}

/// The words meant: quotes of every kind, braces, and what stands behind them taken off.
std::string bare(const std::string &text) {
  return boost::trim_right_copy_if(
      boost::trim_left_copy_if(straight_quotes(text), boost::is_any_of(" \t\"'({")),
      boost::is_any_of(" \t\"',;)}"));
}

/// The name of a table in brackets of any number.
std::string bracketed(std::string words) {
  boost::erase_all(words, " ");
  return boost::trim_copy_if(words, boost::is_any_of("[]"));
}

/// Where a line stands.
struct Place {
  std::string table; ///< concrete path of the table opened last: "designs[2].support[1]"; "" at the top
  std::string kind;  ///< of that table where it is a support element and says so, before that line or behind

  std::string path(const std::string &key) const {
    return table.empty() || key.empty() ? key : table + "." + key;
  }
};

Place place_of(const Lines &lines, const std::size_t at) {
  static const std::regex header("\\s*(\\[\\[?)([^\\]]*)\\].*"), kind("\\s*kind\\s*=\\s*[\"']([^\"']*).*");
  std::map<std::string, int> counts; // of the tables of each list so far
  Place place;
  std::smatch found;
  for (std::size_t n = 0; n < lines.size() && (n <= at || !starts_with(trimmed(lines[n]), "[")); ++n) {
    if (lines[n].size() > longest) {
      continue;
    } else if (std::regex_match(lines[n], found, kind)) {
      place.kind = found[1];
    } else if (std::regex_match(lines[n], found, header)) {
      const bool list = found[1].length() == 2;
      Lines names;
      boost::split(names, found[2].str(), boost::is_any_of("."));
      place = {};
      for (std::size_t i = 0; i < names.size(); ++i) {
        place.table = place.path(trimmed(names[i]));
        if (list && i + 1 == names.size())
          ++counts[place.table];
        if (const auto it = counts.find(place.table); it != counts.end())
          place.table += "[" + std::to_string(it->second) + "]";
      }
    }
  }
  return place;
}

/// The row of that key: of a support element's measure that of its kind; of a key inside a table on one line any that
/// has its name.
const CatalogueRow *row_of(const std::string &key, const std::string &kind, const bool inside) {
  const std::string general =
      boost::replace_first_copy(general_key(key), "designs[].support[].", "designs[].support[" + kind + "].");
  for (const std::string &path : {general_key(key), general})
    if (const CatalogueRow *row = find_catalogue_row(path))
      return row;
  for (const CatalogueRow &row : catalogue())
    if (inside && boost::ends_with(row.key, "." + key))
      return &row;
  return nullptr;
}

/// A table's line as it should be: [[designs.layers]] of any spelling of brackets round designs.layers.
std::string table_line(const std::string &name, const bool doubled) {
  bool listed = starts_with(name, "designs."), single = false;
  for (const CatalogueRow &row : catalogue()) {
    listed |= starts_with(row.key, name + "[");
    single |= starts_with(row.key, name + ".");
  }
  const bool either = name == "activity" || (!listed && !single);
  return (either ? doubled : !single) ? "[[" + name + "]]" : "[" + name + "]";
}

/// A key or table that is given a second time, in line `at` (from 0).
void repeated(Fault &f, const Lines &lines, const std::size_t at) {
  const std::string words = without_remark(lines[at]);
  const bool table = starts_with(words, "[");
  const auto name_of = [](const std::string &line) {
    return starts_with(line, "[") ? bracketed(line) : trimmed(line.substr(0, line.find('=')));
  };
  const std::string name = name_of(words), last = name.substr(name.find_last_of('.') + 1);
  std::size_t first = at, as_key = at; // earlier lines that say it, and that say `layers =` of this design
  for (std::size_t n = at; n-- > 0;) {
    const std::string before = without_remark(lines[n]);
    const bool header = starts_with(before, "[");
    if (header == table && name_of(before) == name)
      first = n;
    else if (!header && name_of(before) == last)
      as_key = n;
    if (header && (!table || name_of(before) == "designs"))
      break;
  }
  const auto in_line = [](const std::size_t n) { return " in line " + std::to_string(n + 1); };
  const std::string where = first < at ? ", first" + in_line(first) : "";
  if (!table) {
    f.key = place_of(lines, at).path(name);
    f.problem = "given twice" + where + "; keep one of the two";
  } else if (as_key < at) {
    f.problem = "this design has " + last + " =" + in_line(as_key) +
                " already: keep one of the two, or write a line " +
                "[[designs]] where the next design begins";
  } else {
    f.problem =
        "the table [" + name + "] stands twice" + where + "; put all its keys below one such line" +
        (starts_with(table_line(name, true), "[[") ? ", or write [[" + name + "]] before each of several"
                                                   : "");
  }
}

/// The words for the value of that row, and what to write.
void say_wanted(Fault &f, const CatalogueRow *row, const std::string &name, const std::string &value,
                const std::string &parser_words) {
  const std::string words = bare(value.substr(0, value.find(" //"))), write = "write " + name + " = ";
  const bool texts = row && (is_text(row->type) || row->type == KeyType::choice_list);
  if (contains(skeleton(value), "=")) {
    f.problem = "one key a line";
  } else if (contains(parser_words, "escape sequence") || contains(parser_words, "unicode scalar")) {
    f.problem = "a backslash in a text means something else: write / in its place, " + name + " = " +
                quoted(printable(boost::replace_all_copy(words, "\\", "/")));
  } else if (row && row->type == KeyType::boolean) {
    f.problem = "true or false is wanted, in small letters and without quotes";
    f.allowed.clear();
  } else if (!texts && (row || std::isdigit(static_cast<unsigned char>(words[0])))) {
    static const std::regex dash("−|–");
    const std::string plain = std::regex_replace(words, dash, "-");
    f.problem = number_wanted(row, name, plain);
    if (row)
      f.hint = in_unit_of_key(*row, plain);
  } else if (value[0] == '[' ||
             (row && row->type == KeyType::choice_list && words.find_first_of(",;\"") != std::string::npos)) {
    f.problem = "a list stands in square brackets, each word in straight quotes, commas between: " + write +
                list_written(value);
    f.allowed.clear();
  } else {
    std::string plain = boost::erase_all_copy(words, "\"");
    f.problem = contains(value, " //") ? "a remark begins with #" : "words stand between two straight quotes";
    if (row && !row->choices.empty()) {
      const std::vector<std::string> likely = likely_names(plain, row->choices);
      if (std::find(row->choices.begin(), row->choices.end(), plain) != row->choices.end())
        f.allowed.clear();
      else if (likely.size() == 1)
        plain = likely.front();
      else
        return f.propose(likely);
    }
    plain = quoted(printable(plain));
    f.problem = (plain == value ? "" : f.problem + ": ") + write + plain;
  }
}

/// The line of a list, or of a text of several lines, that begins before `at` and is not closed there.
std::size_t opened_before(const Lines &lines, const std::size_t at, const std::string &parser_words) {
  if (contains(parser_words, "end-of-file"))
    for (std::size_t n = 0; n < at; ++n)
      if (contains(lines[n], "\"\"\"") || contains(lines[n], "'''"))
        return n;
  if (contains(parser_words, "array"))
    for (std::size_t n = at + 1; n-- > 0;)
      if (const std::size_t equals = lines[n].find('='); equals != std::string::npos) {
        const std::string value = skeleton(trimmed(lines[n].substr(equals + 1)));
        if (starts_with(value, "[") &&
            std::count(value.begin(), value.end(), '[') > std::count(value.begin(), value.end(), ']'))
          return n;
        if (!starts_with(trimmed(lines[n]), "{"))
          break;
      }
  return at;
}

/// Of a line with a table in braces the part `key = value` that holds the column, else the line.
std::string part_at(const std::string &line, const int column, bool &inside) {
  static const std::regex pair("[{,]\\s*[A-Za-z_]+\\s*=");
  inside = false;
  std::string part = line;
  if (line.size() > longest || !contains(line, "{"))
    return part;
  for (std::sregex_iterator it(line.begin(), line.end(), pair), end; it != end; ++it)
    if (it->position() + 1 < column || !inside) {
      const std::size_t from = it->position() + 1,
                        to = std::next(it) == end ? line.size() : std::next(it)->position();
      part = line.substr(from, to - from);
      inside = true;
    }
  return inside ? part.substr(0, part.find('}')) : part;
}

} // namespace

std::string list_written(const std::string &inside) {
  Lines items;
  std::vector<std::string> written;
  for (const std::string &each : boost::split(items, straight_quotes(inside), boost::is_any_of("\"',;[]()")))
    if (const std::string item = trimmed(each); !item.empty())
      written.push_back(item.find_first_not_of("0123456789.+-") == std::string::npos ? item : quoted(item));
  return "[" + list_text(written) + "]";
}

Fault typing_slip(const std::string &text, const int line, const int column,
                  const std::string &parser_words) {
  Lines lines;
  boost::split(lines, text, boost::is_any_of("\n"));
  for (std::string &each : lines)
    each.resize(std::min(each.size(), each.find('\r')));
  Fault f;
  std::size_t at = std::min<std::size_t>(line > 0 ? line - 1 : 0, lines.size() - 1);
  while (at > 0 && without_remark(lines[at]).empty())
    --at;
  const bool twice = contains(parser_words, "redefine");
  const std::size_t opened = twice ? at : opened_before(lines, at, parser_words);
  const int mark = opened == at && static_cast<int>(at) + 1 == line ? column : 0;
  at = opened;
  f.line = static_cast<int>(at) + 1;
  f.point_at(lines[at], mark);
  if (twice) {
    repeated(f, lines, at);
    return f;
  }
  const Place place = place_of(lines, at);
  bool inside = false;
  const std::string words = without_remark(part_at(lines[at], mark, inside)).substr(0, longest);
  f.found = printable(words);
  static const std::regex pair("[\"']?([A-Za-z0-9_.-]+)[\"']?\\s*(=+>?|:=?|->|→|)\\s*(.*)"),
      long_key("([A-Za-z][\\w -]*\\s[\\w -]*\\w)\\s*=\\s*(.*)"), name_of_table("[\\w.-]+"),
      special_space("\u00a0|\u202f|\u2007|\u2009|\u200b|\u2060|\ufeff");
  std::smatch found;
  if (!inside && (starts_with(words, "[") || (boost::ends_with(words, "]") && !contains(words, "=")))) {
    const std::string name = bracketed(words);
    f.problem = "a table's line is its name in square brackets, alone" +
                (std::regex_match(name, name_of_table)
                     ? ": write " + table_line(name, contains(words, "[[") || contains(words, "]]"))
                     : ", for example [patient]");
    return f;
  }
  if (std::regex_match(words, found, long_key)) {
    const std::string joined = boost::replace_all_copy(found[1].str(), " ", "_");
    const std::vector<std::string> likely = likely_names(joined, names_in(general_key(place.table)));
    f.problem = "a key is one word, without spaces" +
                (likely.size() == 1 ? ": write " + likely.front() + " = ..." : "");
    f.found = printable(found[1]);
    return f;
  }
  f.problem = "a line is key = value, a table's name in square brackets, or a remark that begins with #";
  if (!std::regex_match(words, found, pair))
    return f;
  const std::string name = found[1], sign = found[2], value = found[3];
  const std::string key = inside ? name : place.path(name);
  const CatalogueRow *row = row_of(key, place.kind, inside);
  if (!row && sign != "=" && sign != "==")
    return f;
  f.key = printable(key);
  if (row && row->type != KeyType::text && row->type != KeyType::label && !inside)
    f.allowed = row->allowed_words();
  f.found = printable(value);
  if (const std::string clean = std::regex_replace(value, special_space, " "); clean != value)
    f.problem = "a special space that looks like an ordinary one stands in this line: write " + name + " = " +
                printable(trimmed(clean));
  else if (value.empty())
    f.problem = "no value" + (sign == "=" ? " after \"=\"" : ": write " + name + " = ...");
  else
    say_wanted(f, row, name, value, parser_words);
  if (sign != "=" && !value.empty()) {
    f.problem = "one \"=\" is wanted between key and value; " + f.problem;
    f.found = printable(words);
  }
  if (!row && !inside)
    f.propose(likely_names(name, names_in(general_key(place.table))));
  return f;
}

} // namespace raybend
