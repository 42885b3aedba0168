// What is said of a line that is no TOML. One way for all slips: find key and value as they were meant, then say what
// the key takes and how that is written.
#include "cases/casefile/typing_slip.hpp"
#include "cases/casefile/number_words.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cctype>
#include <map>
#include <regex>
#include <sstream>
#include <vector>

namespace raybend {

namespace {

using Lines = std::vector<std::string>;

/// Quotes of word processors and of other languages, and accents that stand for quotes.
const char *const odd_quotes[] = {"“", "”", "„", "‟", "«", "»", "″", "‘",
                                  "’", "‚", "‛", "‹", "›", "′", "´", "`"};
/// Spaces and marks that cannot be seen and are no space of the keyboard.
const char *const odd_spaces[] = {"\u00a0", "\u202f", "\u2007", "\u2009", "\u200b", "\u2060", "\ufeff"};

bool begins(const std::string &text, const std::string &start) {
  return text.compare(0, start.size(), start) == 0;
}
std::string replaced(std::string text, const std::string &old, const std::string &fresh) {
  for (std::size_t at = 0; (at = text.find(old, at)) != std::string::npos; at += fresh.size())
    text.replace(at, old.size(), fresh);
  return text;
}

/// Calls `each(place, character)` for every character outside straight quotes, up to the remark.
template <typename Each> void outside_quotes(const std::string &text, const Each &each) {
  char quote = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quote != 0)
      quote = c == quote && text[i - 1] != '\\' ? 0 : quote;
    else if (c == '#')
      return each(i, c);
    else if (c == '"' || c == '\'')
      quote = c;
    else
      each(i, c);
  }
}

/// Up to the remark, if one stands outside straight quotes.
std::string without_remark(const std::string &text) {
  std::size_t end = text.size();
  outside_quotes(text, [&](const std::size_t i, const char c) { end = c == '#' ? i : end; });
  return trimmed(text.substr(0, end));
}

/// Square brackets that the text opens and does not close.
int left_open(const std::string &text) {
  int open = 0;
  outside_quotes(text, [&](std::size_t, const char c) { open += c == '[' ? 1 : c == ']' ? -1 : 0; });
  return open;
}

/// The words meant: quotes of every kind, braces, and what stands behind them taken off.
std::string bare(std::string text) {
  for (const char *quote : odd_quotes)
    text = replaced(text, quote, "\"");
  const std::size_t first = text.find_first_not_of(" \t\"'({"), last = text.find_last_not_of(" \t\"',;)}");
  return first == std::string::npos || last < first ? "" : text.substr(first, last - first + 1);
}

/// The row of that key: of a support element's measure that of its kind; of a key inside a table on one line any that
/// has its name.
const CatalogueRow *row_of(const std::string &key, const std::string &kind, const bool inside) {
  const std::string general = general_key(key), elements = "designs[].support[].";
  if (const CatalogueRow *row = find_catalogue_row(general); row || key.empty())
    return row;
  if (begins(general, elements))
    if (const CatalogueRow *row =
            find_catalogue_row("designs[].support[" + kind + "]." + general.substr(elements.size())))
      return row;
  const std::string ending = "." + key.substr(key.find_last_of('.') + 1);
  for (const CatalogueRow &row : catalogue())
    if ((inside || (begins(general, elements) && begins(row.key, "designs[].support["))) &&
        row.key.size() > ending.size() &&
        row.key.compare(row.key.size() - ending.size(), std::string::npos, ending) == 0)
      return &row;
  return nullptr;
}

/// A table's line as it should be: [[designs.layers]] of any spelling of brackets round designs.layers.
std::string table_line(const std::string &name, const bool doubled) {
  bool list = doubled, single = false;
  for (const CatalogueRow &row : catalogue()) {
    list |= begins(row.key, name + "[");
    single |= begins(row.key, name + ".") && name != "activity"; // one or several
  }
  list = (list && !single) || name == "designs.layers" || name == "designs.support";
  return list ? "[[" + name + "]]" : "[" + name + "]";
}

/// Where a line stands.
struct Place {
  std::string table; ///< concrete path of the table opened last: "designs[2].support[1]"; "" at the top
  std::string kind;  ///< of that table where it is a support element and says so
};

/// Walks through the file. `each(n, place)` is asked at every line (from 0) before it counts; true ends the walk.
template <typename Each> Place walk(const Lines &lines, const Each &each) {
  std::map<std::string, int> counts; // of the tables of each list so far
  static const std::regex header("\\s*(\\[\\[?)([^\\]]*)\\].*"), kind("\\s*kind\\s*=\\s*[\"']([^\"']*).*");
  Place place;
  std::smatch found;
  for (std::size_t n = 0; n < lines.size() && !each(n, place); ++n) {
    if (lines[n].size() > 200)
      continue;
    if (std::regex_match(lines[n], found, kind)) {
      place.kind = found[1];
    } else if (std::regex_match(lines[n], found, header)) {
      const bool list = found[1].length() == 2;
      std::istringstream names(found[2]);
      place = {};
      for (std::string name; std::getline(names, name, '.');) {
        place.table += (place.table.empty() ? "" : ".") + trimmed(name);
        if (list && names.eof())
          ++counts[place.table];
        if (const auto it = counts.find(place.table); it != counts.end())
          place.table += "[" + std::to_string(it->second) + "]";
      }
    }
  }
  return place;
}

std::string in_table(const std::string &table, const std::string &key) {
  return table.empty() || key.empty() ? key : table + "." + key;
}

/// A key or table that is given a second time, in line `at` (from 0).
void repeated(Fault &f, const Lines &lines, const std::size_t at) {
  const auto here = [](std::size_t n) { return std::to_string(n + 1); };
  const std::string words = without_remark(lines[at]);
  std::string name = words;
  name.erase(
      std::remove_if(name.begin(), name.end(), [](char c) { return c == '[' || c == ']' || c == ' '; }),
      name.end());
  const bool table = begins(words, "["), list = begins(words, "[[");
  std::size_t first = at, inside = at; // earlier lines that say it, and that say `layers =` of this design
  const std::string last = name.substr(name.find_last_of('.') + 1),
                    key = trimmed(words.substr(0, words.find('=')));
  std::string place;
  walk(lines, [&](const std::size_t n, const Place &p) {
    if (n == at)
      place = p.table;
    return n == at;
  });
  walk(lines, [&](const std::size_t n, const Place &p) {
    if (n == at)
      return true;
    const std::string before = without_remark(lines[n]);
    const auto sets = [&before](const std::string &k) {
      return begins(before, k) && begins(trimmed(before.substr(k.size())), "=");
    };
    if (begins(before, "[[designs]]"))
      inside = at;
    if (table && sets(last))
      inside = n;
    if (first == at &&
        (table ? before == "[" + name + "]" || before == "[[" + name + "]]" : p.table == place && sets(key)))
      first = n;
    return false;
  });
  if (!table) {
    f.key = in_table(place, key);
    f.problem =
        "given twice" + (first < at ? ", first in line " + here(first) : "") + "; keep one of the two";
  } else if (list && inside < at) {
    f.problem = "this design has " + last + " = in line " + here(inside) + " already and [[" + name +
                "]] here: keep one of the two, or write a line [[designs]] where the next design begins";
  } else {
    const bool mixed = first < at && begins(lines[first], "[[") != list;
    const bool listed = begins(table_line(name, false), "[[");
    f.problem = "the table [" + name + "] stands twice" +
                (first < at ? ", first in line " + here(first) : "") +
                (mixed || listed
                     ? "; one table has single brackets, each entry of a list double ones: [[" + name + "]]"
                     : "; put all its keys below one such line");
    if (name == "activity" && !mixed)
      f.problem += ", or, of several activities of a day, write [[activity]] before each";
  }
}

/// The words for the value of that row, and what to write.
void say_wanted(Fault &f, const CatalogueRow *row, const std::string &name, const std::string &value,
                const std::string &parser_words) {
  const std::string words = bare(value.substr(0, value.find(" //"))), write = ": write " + name + " = ";
  const bool in_quotes = value[0] == '"' || value[0] == '\'', number = row && !is_text(row->type) &&
                                                                       row->type != KeyType::boolean &&
                                                                       row->type != KeyType::choice_list;
  const std::size_t shut = in_quotes ? value.find(value[0], 1) : std::string::npos;
  bool equals = false;
  outside_quotes(value, [&](std::size_t, const char c) { equals |= c == '='; });
  if (equals) {
    f.problem = "one key a line";
  } else if (contains(parser_words, "escape sequence") || contains(parser_words, "unicode scalar")) {
    f.problem = "a backslash in a text means something else: write / in its place, " + name + " = " +
                quoted(printable(replaced(words, "\\", "/")));
  } else if (number || (!row && std::isdigit(static_cast<unsigned char>(words[0])))) {
    std::string plain = replaced(replaced(words, "\u2212", "-"), "\u2013", "-");
    if (plain[0] == '.')
      plain = "0" + plain;
    const bool quotes = in_quotes || std::any_of(std::begin(odd_quotes), std::end(odd_quotes),
                                                 [&](const char *quote) { return begins(value, quote); });
    f.problem = number_wanted(row, name, plain, quotes ? ", without quotes" : "");
    if (row)
      f.hint = in_unit_of_key(*row, words);
  } else if (row && row->type == KeyType::boolean) {
    f.problem = "true or false is wanted, in small letters and without quotes";
    f.allowed.clear();
  } else if (value[0] == '[' ||
             (row && row->type == KeyType::choice_list && words.find_first_of(",;\"") != std::string::npos)) {
    f.problem = "a list stands in square brackets, each word in straight quotes, commas between" + write +
                list_written(value);
    f.allowed.clear();
  } else if (shut != std::string::npos && shut + 1 == value.size()) { // nothing is wrong with the value
    f.problem = write.substr(2) + value;
  } else if (shut != std::string::npos && value.find(value[0], shut + 1) == std::string::npos) {
    f.problem = "something stands behind the value; one key a line, and a remark begins with #" + write +
                value.substr(0, shut + 1);
  } else {
    std::string plain = replaced(words, "\"", "");
    f.problem = "words stand between two straight quotes";
    if (row && !row->choices.empty()) {
      const std::vector<std::string> likely = likely_names(plain, row->choices);
      if (std::find(row->choices.begin(), row->choices.end(), plain) != row->choices.end())
        f.allowed.clear();
      else if (likely.size() == 1)
        plain = likely.front();
      else
        return f.propose(likely);
    }
    f.problem += write + quoted(printable(plain));
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
        const std::string value = trimmed(lines[n].substr(equals + 1));
        if (begins(value, "[") && left_open(value) > 0)
          return n;
        if (!begins(trimmed(lines[n]), "{"))
          break;
      }
  return at;
}

/// Of a line with a table in braces the part `key = value` that holds the column, else the line.
std::string part_at(const std::string &line, const int column, bool &inside) {
  static const std::regex pair("[{,]\\s*[A-Za-z_]+\\s*=");
  inside = false;
  std::string part = line;
  if (line.size() > 400 || !contains(line, "{"))
    return part;
  for (std::sregex_iterator it(line.begin(), line.end(), pair), end; it != end; ++it)
    if (it->position() + 1 < column || !inside) {
      part =
          line.substr(it->position() + 1,
                      (std::next(it) == end ? line.size() : std::next(it)->position()) - it->position() - 1);
      inside = true;
    }
  if (inside)
    part.resize(std::min(part.size(), part.find('}')));
  return part;
}

} // namespace

std::string list_written(const std::string &inside) {
  std::string text = inside;
  for (const char *quote : odd_quotes)
    text = replaced(text, quote, "\"");
  std::vector<std::string> items;
  std::string item;
  for (const char c : text + ",")
    if (std::string("\"',;[]()").find(c) == std::string::npos) {
      item += c;
    } else if (item = trimmed(item); !item.empty()) {
      items.push_back(item.find_first_not_of("0123456789.+-") == std::string::npos ? item : quoted(item));
      item.clear();
    }
  return "[" + list_text(items) + "]";
}

Fault typing_slip(const std::string &text, const int line, const int column,
                  const std::string &parser_words) {
  Lines lines;
  std::istringstream stream(text);
  for (std::string each; std::getline(stream, each);)
    lines.push_back(each.substr(0, each.find('\r')));
  Fault f;
  if (lines.empty())
    lines.emplace_back();
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
  Place place;
  walk(lines, [&](const std::size_t n, const Place &p) {
    if (n <= at)
      place = p;
    return n > at && (begins(trimmed(lines[n]), "[") || (place.kind = p.kind, false)); // its kind may follow
  });
  bool inside = false;
  constexpr std::size_t longest = 400; // of what is looked at: a line of any length may be typed
  const std::string words = without_remark(part_at(lines[at], mark, inside)).substr(0, longest);
  f.found = printable(words);
  const bool header =
      !inside && (begins(words, "[") || (!words.empty() && words.back() == ']' && !contains(words, "=")));
  static const std::regex pair("[\"']?([A-Za-z0-9_.-]+)[\"']?\\s*(=+>?|:=?|->|→|)\\s*(.*)"),
      long_key("([A-Za-z][\\w -]*\\s[\\w -]*\\w)\\s*=\\s*(.*)");
  std::smatch found;
  if (header) {
    std::string name = words;
    name.erase(
        std::remove_if(name.begin(), name.end(), [](char c) { return c == '[' || c == ']' || c == ' '; }),
        name.end());
    const bool good = !name.empty() && std::all_of(name.begin(), name.end(), [](unsigned char c) {
      return std::isalnum(c) || c == '_' || c == '-' || c == '.';
    });
    f.problem = "a table's line is its name in square brackets, alone" +
                (good ? ": write " + table_line(name, contains(words, "[[") || contains(words, "]]"))
                      : ", for example [patient]");
    return f;
  }
  if (std::regex_match(words, found, long_key)) {
    std::string joined = found[1];
    std::replace(joined.begin(), joined.end(), ' ', '_');
    const std::vector<std::string> likely = likely_names(joined, names_in(general_key(place.table)));
    f.problem = "a key is one word, without spaces" +
                (likely.size() == 1 ? ": write " + likely.front() + " = ..." : "");
    f.found = printable(found[1]);
    return f;
  }
  if (std::regex_match(words, found, pair)) {
    const std::string name = found[1], sign = found[2], value = found[3];
    const std::string key = inside ? name : in_table(place.table, name);
    const CatalogueRow *row = row_of(key, place.kind, inside);
    if (row || sign == "=" || sign == "==") {
      f.key = printable(key);
      if (row && row->type != KeyType::text && row->type != KeyType::label && !inside)
        f.allowed = row->allowed_words();
      f.found = printable(value);
      std::string clean = value;
      for (const char *space : odd_spaces)
        clean = replaced(clean, space, " ");
      if (clean != value)
        f.problem = "a special space that looks like an ordinary one stands in this line: write " + name +
                    " = " + printable(trimmed(clean));
      if (value.empty())
        f.problem = "no value" + (sign == "=" ? " after \"=\"" : ": write " + name + " = ...");
      else if (f.problem.empty())
        say_wanted(f, row, name, value, parser_words);
      if (sign != "=" && !value.empty()) {
        f.problem = "one \"=\" is wanted between key and value; " + f.problem;
        f.found = printable(words);
      }
      if (!row && !inside)
        f.propose(likely_names(name, names_in(general_key(place.table))));
      return f;
    }
  }
  f.problem = "a line is key = value, a table's name in square brackets, or a remark that begins with #";
  return f;
}

} // namespace raybend
