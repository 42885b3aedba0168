#include "cases/typing_slip.hpp"
#include "cases/catalogue.hpp"
#include "cases/number_slip.hpp"
#include "cases/words.hpp"
#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <sstream>
#include <vector>

namespace raybend {

namespace {

using Lines = std::vector<std::string>;

/// Quotes of word processors and of other languages, accents that stand for quotes: they open or close no
/// text.
const char *const odd_quotes[] = {"“", "”", "„", "‟", "«", "»", "″", "‘",
                                  "’", "‚", "‛", "‹", "›", "′", "´", "`"};
/// Spaces and marks that cannot be seen and are no space of the keyboard.
const char *const odd_spaces[] = {"\u00a0", "\u202f", "\u2007", "\u2009", "\u200b", "\u2060", "\ufeff"};

bool begins(const std::string &text, const std::string &start) {
  return text.compare(0, start.size(), start) == 0;
}
bool ends(const std::string &text, const std::string &end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}
bool contains(const std::string &text, const std::string &part) {
  return text.find(part) != std::string::npos;
}
bool of_a_key(const char c) {
  return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-' || c == '.';
}

/// Length of the odd quote that the text begins with; 0 if none.
std::size_t odd_quote_at_start(const std::string &text) {
  for (const std::string quote : odd_quotes)
    if (begins(text, quote))
      return quote.size();
  return 0;
}
std::size_t odd_quote_at_end(const std::string &text) {
  for (const std::string quote : odd_quotes)
    if (ends(text, quote))
      return quote.size();
  return 0;
}

Lines lines_of(const std::string &text) {
  Lines lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);)
    lines.push_back(line);
  return lines;
}

/// Up to the remark, if one stands outside straight quotes.
std::string without_remark(const std::string &text) {
  char quote = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (quote == 0 && text[i] == '#')
      return text.substr(0, i);
    if (quote == 0 && (text[i] == '"' || text[i] == '\''))
      quote = text[i];
    else if (text[i] == quote && text[i - 1] != '\\')
      quote = 0;
  }
  return text;
}

/// The word or words meant: quotes of every kind and a comma or semicolon at the end taken off.
std::string bare(std::string text) {
  for (bool again = true; again;) {
    text = trimmed(text);
    again = true;
    if (!text.empty() &&
        (text.back() == ',' || text.back() == ';' || text.back() == '"' || text.back() == '\''))
      text.pop_back();
    else if (!text.empty() && (text[0] == '"' || text[0] == '\''))
      text.erase(0, 1);
    else if (const std::size_t n = odd_quote_at_start(text))
      text.erase(0, n);
    else if (const std::size_t m = odd_quote_at_end(text))
      text.resize(text.size() - m);
    else
      again = false;
  }
  return text;
}

/// The whole text is one number as TOML writes it.
bool is_number(const std::string &text) {
  std::size_t at = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  bool digits = false, point = false;
  for (; at < text.size(); ++at)
    if (std::isdigit(static_cast<unsigned char>(text[at])))
      digits = true;
    else if (text[at] == '.' && digits && !point && at + 1 < text.size())
      point = true;
    else
      return false;
  return digits;
}

std::string lower(std::string text) {
  for (char &c : text)
    c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// The row of that key; of a support element's measure the row of any kind that has it.
const CatalogueRow *row_of(const std::string &key) {
  const std::string general = general_key(key), elements = "designs[].support[]";
  if (const CatalogueRow *row = find_catalogue_row(general))
    return row;
  if (begins(general, elements + "."))
    for (const CatalogueRow &row : catalogue())
      if (begins(row.key, "designs[].support[") && ends(row.key, general.substr(elements.size())))
        return &row;
  return nullptr;
}

bool takes_number(const CatalogueRow *row) {
  return row && (row->type == KeyType::number || row->type == KeyType::integer);
}

/// A table's line as it should be: [[designs.layers]] of any spelling of brackets round designs.layers.
std::string table_line(const std::string &name, const bool doubled) {
  bool list = doubled;
  for (const CatalogueRow &row : catalogue())
    list |= begins(row.key, name + "[");
  if (name == "designs.layers" || name == "designs.support")
    list = true;
  return list ? "[[" + name + "]]" : "[" + name + "]";
}

/// One line and what is said of it.
struct Slip {
  std::string key; ///< concrete path; may be empty
  int line = 0;

  Fault say(const std::string &problem, const std::string &found = "") const {
    Fault f;
    f.line = line;
    f.key = printable(key);
    f.problem = problem;
    f.found = printable(found);
    if (const CatalogueRow *row = row_of(key); row && row->type != KeyType::text)
      f.allowed = row->allowed_words();
    return f;
  }
};

// ---- tables

std::optional<Fault> header_slip(const Slip &at, const std::string &words) {
  const std::string line = trimmed(without_remark(words));
  std::string name;
  for (const char c : line)
    if (c != '[' && c != ']' && c != ' ' && c != '\t')
      name += c;
  const std::size_t open = std::count(line.begin(), line.end(), '['),
                    shut = std::count(line.begin(), line.end(), ']');
  const std::string wanted = table_line(name, open > 1 || shut > 1);
  if (name.empty())
    return at.say("a table's name stands between the brackets, for example [patient]", line);
  if (!std::all_of(name.begin(), name.end(), of_a_key)) {
    if (open == 1 && shut == 1 && line.back() != ']')
      return at.say("a table's line holds nothing but its name in brackets; a remark begins with #", line);
    return at.say("a table's name in brackets is wanted, for example [patient]", line);
  }
  if (shut < open)
    return at.say("the closing bracket is missing: write " + wanted, line);
  if (open < shut)
    return at.say("the opening bracket is missing: write " + wanted, line);
  if (line.back() != ']')
    return at.say("a table's line holds nothing but its name in brackets; a remark begins with #", line);
  return at.say("brackets stand close together: write " + wanted, line);
}

/// The first earlier line that says the same; 0 if there is none. `key` "" is the table itself.
int earlier_line(const std::string &text, const Lines &lines, const int line, const std::string &table,
                 const std::string &key) {
  for (int n = 1; n < line; ++n) {
    const std::string words = trimmed(without_remark(lines[n - 1]));
    if (key.empty()) {
      if (begins(words, "[") && open_table(text, n + 1) == table)
        return n;
    } else if (open_table(text, n) == table && begins(words, key) &&
               begins(trimmed(words.substr(key.size())), "=")) {
      return n;
    }
  }
  return 0;
}

std::string first_in(const int line) {
  return line > 0 ? ", first in line " + std::to_string(line) : "";
}

std::optional<Fault> repeated(const std::string &text, const Lines &lines, const Slip &at) {
  const std::string words = trimmed(without_remark(lines[at.line - 1]));
  if (begins(words, "[")) {
    const std::string here = open_table(text, at.line + 1);
    if (begins(words, "[[")) {
      const std::string name = bare(words.substr(2, words.find(']') - 2));
      for (int n = 1; n < at.line; ++n)
        if (begins(trimmed(lines[n - 1]), "[" + name + "]"))
          return at.say(
              "[" + name + "] stands in single brackets in line " + std::to_string(n) +
              " and in double ones here: one table has single brackets, the entries of a list have double "
              "ones, [[" +
              name + "]] before each");
      return {};
    }
    const std::string name = bare(words.substr(1, words.find(']') - 1));
    const int first = earlier_line(text, lines, at.line, here, "");
    if (first == 0)
      return {};
    const std::string list = table_line(name, false);
    if (begins(list, "[["))
      return at.say("the table [" + name + "] stands twice" + first_in(first) +
                    "; each entry of a list has double brackets: write " + list);
    return at.say("the table [" + name + "] stands twice" + first_in(first) +
                  "; put all its keys below one such line");
  }
  const std::size_t equals = words.find('=');
  if (equals == std::string::npos)
    return {};
  const std::string key = trimmed(words.substr(0, equals)), table = open_table(text, at.line);
  const int first = earlier_line(text, lines, at.line, table, key);
  if (first == 0)
    return {};
  Fault f = Slip{table.empty() ? key : table + "." + key, at.line}.say("given twice" + first_in(first) +
                                                                       "; keep one of the two");
  f.allowed.clear();
  return f;
}

// ---- lists

/// Brackets that the text opens and does not close, outside straight quotes.
int left_open(const std::string &text) {
  int open = 0;
  char quote = 0;
  for (const char c : without_remark(text)) {
    if (quote != 0)
      quote = c == quote ? 0 : quote;
    else if (c == '"' || c == '\'')
      quote = c;
    else
      open += c == '[' ? 1 : c == ']' ? -1 : 0;
  }
  return open;
}

/// The list with its words in quotes and commas between.
std::string list_written(std::string inside) {
  for (char &c : inside)
    c = c == ';' ? ',' : c;
  std::vector<std::string> items;
  std::string item;
  char quote = 0;
  const auto end_item = [&] {
    const std::string word = bare(item);
    if (!word.empty())
      items.push_back(is_number(word) ? word : quoted(word));
    item.clear();
  };
  for (const char c : inside) {
    if (quote == 0 && (c == ',' || c == '[' || c == ']'))
      end_item();
    else if (quote == 0 && (c == '"' || c == '\''))
      quote = c;
    else if (c == quote) {
      quote = 0;
      end_item();
    } else {
      item += c;
    }
  }
  end_item();
  return "[" + list_text(items) + "]";
}

std::optional<Fault> list_slip(const Slip &at, const std::string &name, const std::string &value) {
  const bool no_quotes =
      value.find_first_of("\"'") == std::string::npos &&
      std::any_of(value.begin(), value.end(), [](unsigned char c) { return std::isalpha(c); });
  const bool odd = std::any_of(std::begin(odd_quotes), std::end(odd_quotes),
                               [&value](const char *quote) { return contains(value, quote); });
  const char *problem = left_open(value) > 0   ? "the list's closing bracket is missing"
                        : left_open(value) < 0 ? "the list has a closing bracket too many"
                        : contains(value, ";") ? "commas stand between the entries of a list"
                        : odd || no_quotes     ? "words need straight quotes"
                                               : "quotes stand round every word of a list and commas between";
  Fault f = at.say(std::string(problem) + ": write " + name + " = " + list_written(value), value);
  f.allowed.clear();
  return f;
}

/// The list that stands open where the parser stopped, if it began on an earlier line.
std::optional<Fault> open_list(const std::string &text, const Lines &lines, const int line) {
  for (int n = line; n >= 1; --n) {
    const std::string words = trimmed(without_remark(lines[n - 1]));
    const std::size_t equals = words.find('=');
    if (begins(words, "[") && words.size() > 1 && std::isalpha(static_cast<unsigned char>(words[1])) &&
        n < line)
      return {};
    if (equals == std::string::npos)
      continue;
    const std::string value = trimmed(words.substr(equals + 1));
    if (!begins(value, "[")) {
      if (n < line)
        return {};
      continue;
    }
    if (left_open(value) <= 0)
      return {};
    // closed before the next key or table?
    int open = left_open(value);
    for (std::size_t k = n; k < lines.size() && open > 0; ++k) {
      const std::string next = trimmed(without_remark(lines[k]));
      if (contains(next, "=") || (begins(next, "[") && next.size() > 1 && next[1] != '"'))
        break;
      open += left_open(next);
    }
    const std::string name = trimmed(words.substr(0, equals)), table = open_table(text, n);
    const Slip at{table.empty() ? name : table + "." + name, open > 0 ? n : line};
    if (open > 0)
      return list_slip(at, name, value);
    return at.say("quotes stand round every word of a list and commas between the entries",
                  trimmed(without_remark(lines[line - 1])));
  }
  return {};
}

// ---- values

/// What to write for these words under that key: quotes for words, the nearest word of a choice.
std::string written(const std::string &name, const CatalogueRow *row, const std::string &words) {
  std::string value = words;
  if (row && !row->choices.empty() &&
      std::find(row->choices.begin(), row->choices.end(), words) == row->choices.end())
    if (const std::string nearest = nearest_name(words, row->choices); !nearest.empty())
      value = nearest;
  return name + " = " + quoted(printable(value));
}

/// The fault without the list of choices where the words are one of them: what to write says it all.
Fault chosen(Fault f, const CatalogueRow *row, const std::string &words) {
  if (row && std::find(row->choices.begin(), row->choices.end(), words) != row->choices.end())
    f.allowed.clear();
  return f;
}

/// A word without quotes, or in quotes that are none.
Fault word_slip(const Slip &at, const std::string &name, const std::string &value, const CatalogueRow *row) {
  std::string words = bare(without_remark(value));
  if (const std::size_t slashes = words.find(" //"); slashes != std::string::npos)
    words = bare(words.substr(0, slashes));
  const std::string small = lower(words), found = trimmed(without_remark(value));
  const bool yes = small == "true" || small == "yes" || small == "on",
             no = small == "false" || small == "no" || small == "off";
  if (row && row->type == KeyType::boolean && (yes || no)) {
    Fault f = at.say(
        "write " + name + " = " + (yes ? "true" : "false") + ", in small letters and without quotes", found);
    f.allowed.clear();
    return f;
  }
  if (takes_number(row) && is_number(words))
    return at.say("a number is wanted, without quotes: write " + name + " = " + words, found);
  if (takes_number(row))
    return at.say(row->key == "designs[].fit" ? "a number is wanted: 0 is flat, 1 is moulded (total contact)"
                                              : "a number is wanted",
                  found);
  if (!odd_quote_at_start(value) && ends(found, "\""))
    return chosen(at.say("the opening quote is missing: write " + written(name, row, words), found), row,
                  words);
  return chosen(at.say("words need straight quotes: write " + written(name, row, words), found), row, words);
}

/// What stands behind a value that is complete.
Fault rest_slip(const Slip &at, const std::string &name, const std::string &value, const std::string &rest) {
  const std::string plain = trimmed(rest), whole = name + " = " + value;
  if (plain == "," || plain == ";" || plain == ".")
    return at.say("nothing stands after a value: write " + whole + " without the \"" + plain + "\"",
                  value + plain);
  const std::size_t first = plain.find_first_not_of(",; \t");
  const std::string next = first == std::string::npos ? "" : plain.substr(first);
  std::size_t key_end = 0;
  while (key_end < next.size() && of_a_key(next[key_end]))
    ++key_end;
  if (key_end > 0 && begins(trimmed(next.substr(key_end)), "="))
    return at.say("one key a line: put " + printable(trimmed(next.substr(0, key_end))) +
                      " on a line of its own",
                  value + rest);
  return at.say(
      "something stands after the value; a remark begins with #: write " + printable(whole) + "  # " +
          printable(bare(plain.substr(std::min(plain.find_first_not_of("/-;,%! "), plain.size() - 1)))),
      value + rest);
}

/// How many other lines have a value in odd quotes: "3 more lines have such quotes", "" for none.
std::string such_quotes_elsewhere(const Lines &lines, const int line) {
  int more = 0;
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (const std::size_t equals = lines[i].find('=');
        equals != std::string::npos && static_cast<int>(i) + 1 != line)
      more += odd_quote_at_start(trimmed(lines[i].substr(equals + 1))) > 0 ? 1 : 0;
  return more == 0   ? ""
         : more == 1 ? "1 more line has such quotes"
                     : std::to_string(more) + " more lines have such quotes";
}

/// A value that begins with a straight quote.
std::optional<Fault> text_slip(const Slip &at, const std::string &name, const std::string &value,
                               const CatalogueRow *row, const std::string &parser_words) {
  const char quote = value[0];
  if (begins(value, std::string(3, quote)))
    return {};
  std::size_t shut = 1;
  while (shut < value.size() && value[shut] != quote)
    shut += quote == '"' && value[shut] == '\\' ? 2 : 1;
  if ((contains(parser_words, "escape sequence") || contains(parser_words, "unicode scalar")) &&
      quote == '"') {
    const std::string inside = value.substr(1, std::min(shut, value.size()) - 1);
    std::string slashes = inside;
    for (char &c : slashes)
      c = c == '\\' ? '/' : c;
    return at.say("a backslash in a text means something else: write / in its place, " + name + " = " +
                      quoted(printable(slashes)),
                  value);
  }
  if (shut >= value.size()) { // never closed
    const std::string words = bare(without_remark(value.substr(1)));
    const bool other = odd_quote_at_end(trimmed(value)) || ends(trimmed(value), quote == '"' ? "'" : "\"");
    return chosen(at.say((other ? "the closing quote is not of the same kind as the opening one: write "
                                : "the closing quote is missing: write ") +
                             written(name, row, words),
                         value),
                  row, words);
  }
  const std::string inside = value.substr(1, shut - 1), rest = value.substr(shut + 1);
  const std::string after = trimmed(rest);
  if (after.empty() || after[0] == '#')
    return {};
  if (contains(inside, "#")) { // the quote found belongs to the remark
    const std::string words = trimmed(inside.substr(0, inside.find('#')));
    return chosen(at.say("the closing quote is missing: write " + written(name, row, words), value), row,
                  words);
  }
  const bool key_follows = contains(after.substr(0, after.find(quote)), "=");
  if (!key_follows && contains(after, std::string(1, quote)) && after[0] != '/' && after[0] != ';') {
    std::string words = value.substr(1, value.find_last_of(quote) - 1);
    words.erase(std::remove(words.begin(), words.end(), quote), words.end());
    return at.say("a quote inside a text ends it: leave the inner quotes out, " + name + " = " +
                      quoted(printable(words)),
                  value);
  }
  return rest_slip(at, name, value.substr(0, shut + 1), without_remark(rest));
}

/// Three quotes that open a text on some line and never close it.
std::optional<Fault> open_quotes(const std::string &text, const Lines &lines) {
  for (const std::string quotes : {"\"\"\"", "'''"}) {
    int opened = 0;
    for (std::size_t i = 0; i < lines.size(); ++i)
      for (std::size_t at = 0; (at = lines[i].find(quotes, at)) != std::string::npos; at += quotes.size())
        opened = opened == 0 ? static_cast<int>(i) + 1 : 0;
    if (opened == 0)
      continue;
    const std::string words = trimmed(lines[opened - 1]), table = open_table(text, opened);
    const std::string name = trimmed(words.substr(0, words.find('=')));
    return Slip{table.empty() ? name : table + "." + name, opened}.say(
        "a text that begins with three quotes ends with three; a text of one line stands between single ones",
        words);
  }
  return {};
}

/// A value that begins like a number.
std::optional<Fault> digits_slip(const Slip &at, const std::string &name, const std::string &value,
                                 const CatalogueRow *row, const std::string &parser_words) {
  const std::string found = trimmed(without_remark(value));
  const std::string minus = "\u2212", dash = "\u2013";
  for (const std::string &sign : {minus, dash})
    if (begins(found, sign))
      return at.say("the minus sign is another character: write " + name + " = -" +
                        trimmed(found.substr(sign.size())),
                    found);
  for (const std::string about : {"~", "≈", "<", ">", "ca.", "ca ", "about ", "approx"})
    if (begins(found, about))
      return at.say("a number is wanted, with nothing before it", found);
  if (begins(found, ".") && is_number("0" + found))
    return at.say("a number begins with a digit: write " + name + " = 0" + found, found);
  if (!found.empty() && found.back() == '.' && is_number(found.substr(0, found.size() - 1)))
    return at.say("nothing stands after the point: write " + name + " = " + found.substr(0, found.size() - 1),
                  found);
  if (is_number(found) && contains(parser_words, "leading zero")) {
    const std::string digits = found.substr(std::min(found.find_first_not_of('0'), found.size() - 1));
    return at.say("a number does not begin with 0: write " + name + " = " + digits, found);
  }
  if (is_number(found) && contains(parser_words, "representable"))
    return at.say("the number is too long", found);
  std::size_t end = 0; // of the number
  while (end < found.size() && (std::isdigit(static_cast<unsigned char>(found[end])) || found[end] == '.' ||
                                found[end] == '-' || found[end] == '+'))
    ++end;
  while (end > 0 && !std::isdigit(static_cast<unsigned char>(found[end - 1])))
    --end;
  if (end == 0)
    return {};
  if (end >= found.size()) // signs between the digits
    return takes_number(row) && !is_number(found)
               ? std::optional<Fault>(at.say("one number is wanted, not a range", found))
               : std::nullopt;
  const std::string number = found.substr(0, end), rest = trimmed(found.substr(end));
  const bool part = std::isdigit(static_cast<unsigned char>(found[0])) && !is_number(number); // 2019-05-03
  if (part || begins(rest, "/") || begins(rest, ":") || begins(rest, "*")) {
    if (begins(rest, "//") || begins(rest, "/*"))
      return rest_slip(at, name, number, found.substr(end));
    return at.say("one number is wanted, written out", found);
  }
  if (begins(rest, "-") && takes_number(row))
    return std::isdigit(static_cast<unsigned char>(trimmed(rest.substr(1))[0]))
               ? at.say("one number is wanted, not a range", found)
               : rest_slip(at, name, number, found.substr(end));
  return rest_slip(at, name, number, found.substr(end));
}

/// A table in braces on one line: the first of its values that is no value.
std::optional<Fault> braces_slip(const int line, const std::string &words) {
  const std::size_t open = words.find('{'), shut = words.find_last_of('}');
  const std::string inside =
      without_remark(words.substr(open + 1, shut == std::string::npos ? shut : shut - open - 1));
  std::vector<std::string> pieces = {""};
  char quote = 0;
  for (const char c : inside) {
    if (quote == 0 && c == ',') {
      pieces.emplace_back();
      continue;
    }
    if (quote == 0 && (c == '"' || c == '\''))
      quote = c;
    else if (c == quote)
      quote = 0;
    pieces.back() += c;
  }
  for (const std::string &piece : pieces) {
    const std::size_t equals = piece.find('=');
    if (equals == std::string::npos)
      continue;
    const std::string name = trimmed(piece.substr(0, equals)), value = trimmed(piece.substr(equals + 1));
    if (value.empty() || value == "true" || value == "false")
      continue;
    const Slip at{name, line};
    if (odd_quote_at_start(value) || std::isalpha(static_cast<unsigned char>(value[0])))
      return word_slip(at, name, value, nullptr);
    if (value[0] == '"' && value.find('"', 1) == std::string::npos)
      return at.say("the closing quote is missing: write " + name + " = " +
                        quoted(bare(value.substr(1, value.find_first_of(",}", 1) - 1))),
                    value);
  }
  if (inside.find('=') == std::string::npos)
    return Slip{"", line}.say("a value stands without braces { }", words);
  if (shut == std::string::npos)
    return Slip{"", line}.say("the closing brace } is missing at the line's end", words);
  return {};
}

// ---- lines

/// A line without "=".
std::optional<Fault> line_slip(const std::string &table, const int line, const std::string &words) {
  const std::string plain = trimmed(without_remark(words));
  Slip at{"", line};
  for (const std::string mark : {"//", "--", ";", "%", "/*", "*", "!", "- "})
    if (begins(plain, mark)) {
      const std::size_t first = plain.find_first_not_of("/-;%*! ");
      return at.say("a remark begins with #: write # " +
                        (first == std::string::npos ? "" : printable(plain.substr(first))),
                    plain);
    }
  if (begins(plain, "("))
    return at.say("a table's name stands in square brackets: write [" +
                      bare(plain.substr(1, plain.find(')') - 1)) + "]",
                  plain);
  if (ends(plain, "]"))
    return header_slip(at, words);
  std::size_t end = 0;
  while (end < plain.size() && of_a_key(plain[end]))
    ++end;
  const std::string name = plain.substr(0, end);
  std::string rest = trimmed(plain.substr(end));
  for (const std::string arrow : {"→", "->", "=>", "-"})
    if (begins(rest, arrow))
      rest = trimmed(rest.substr(arrow.size()));
  at.key = table.empty() ? name : table + "." + name;
  const CatalogueRow *row = row_of(at.key);
  const std::string quoted_or_number = is_number(bare(rest)) && (!row || takes_number(row))
                                           ? name + " = " + bare(rest)
                                           : written(name, row, bare(rest));
  if (end > 0 && begins(rest, ":")) {
    const std::string value = bare(rest.substr(1));
    return at.say("\"=\" is wanted in place of \":\": write " +
                      (value.empty()                                     ? name + " = ..."
                       : is_number(value) && (!row || takes_number(row)) ? name + " = " + value
                                                                         : written(name, row, value)),
                  plain);
  }
  if (row && rest.empty())
    return at.say("has no value: write " + name + " = ...");
  if (row && (is_number(bare(rest)) || !takes_number(row)))
    return at.say("the \"=\" is missing: write " + quoted_or_number, plain);
  if (row)
    return at.say("the \"=\" is missing after the key", plain);
  at.key.clear();
  return at.say("neither a key = value nor a table in brackets; a remark begins with #", plain);
}

/// A key that is more than one plain word.
std::optional<Fault> key_slip(const std::string &table, const int line, const std::string &key,
                              const std::string &value) {
  const Slip at{"", line};
  if (key.empty())
    return at.say("a key is missing before \"=\"", "= " + value);
  if (std::all_of(key.begin(), key.end(), of_a_key))
    return {};
  const std::string plain = bare(key);
  if (plain != key && std::all_of(plain.begin(), plain.end(), of_a_key))
    return at.say("a key stands without quotes: write " + plain + " = " + printable(value), key);
  const bool spaces = std::all_of(plain.begin(), plain.end(), [](char c) { return of_a_key(c) || c == ' '; });
  std::string joined;
  for (const char c : plain)
    if (of_a_key(c) || c == ' ')
      joined += c == ' ' ? '_' : c;
  const std::string nearest = nearest_name(joined, names_in(general_key(table)));
  return at.say((spaces ? "a key is one word, without spaces" : "a key has letters, digits and _ only") +
                    (nearest.empty() ? "" : ": write " + nearest + " = " + printable(value)),
                key);
}

/// Spaces that look like spaces and are none.
std::optional<Fault> space_slip(const Slip &at, const std::string &words) {
  char quote = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (quote == 0 && words[i] == '#')
      return {};
    if (quote != 0)
      quote = words[i] == quote ? 0 : quote;
    else if (words[i] == '"' || words[i] == '\'')
      quote = words[i];
    else
      for (const std::string space : odd_spaces)
        if (words.compare(i, space.size(), space) == 0) {
          std::string clean = words;
          for (const std::string each : odd_spaces)
            for (std::size_t k; (k = clean.find(each)) != std::string::npos;)
              clean.replace(k, each.size(), " ");
          return at.say(
              "a special space that looks like an ordinary one stands in this line, as word processors "
              "write it: type the line again, " +
              printable(trimmed(without_remark(clean))));
        }
  }
  return {};
}

} // namespace

std::optional<Fault> typing_slip(const std::string &text, int line, const std::string &parser_words) {
  const Lines lines = lines_of(text);
  line = std::min<int>(line, static_cast<int>(lines.size()));
  while (line > 1 && trimmed(without_remark(lines[line - 1])).empty())
    --line;
  if (line < 1)
    return {};
  if (contains(parser_words, "redefine"))
    return repeated(text, lines, Slip{"", line});
  if (contains(parser_words, "array"))
    if (auto fault = open_list(text, lines, line))
      return fault;
  if (contains(parser_words, "end-of-file"))
    if (auto fault = open_quotes(text, lines))
      return fault;
  const std::string words = trimmed(lines[line - 1]), table = open_table(text, line);
  const std::size_t equals = words.find('=');
  Slip at{"", line};
  if (begins(words, "{"))
    return braces_slip(line, words);
  if (begins(words, "["))
    return header_slip(at, words);
  if (equals == std::string::npos)
    return line_slip(table, line, words);
  const std::string key = trimmed(words.substr(0, equals)), value = trimmed(words.substr(equals + 1));
  if (!key.empty() && std::all_of(key.begin(), key.end(), of_a_key))
    at.key = table.empty() ? key : table + "." + key;
  if (auto fault = space_slip(at, words))
    return fault;
  if (auto fault = number_fault(text, line, 0))
    return fault;
  if (begins(key, "#") || begins(key, "//") || begins(key, ";"))
    return line_slip(table, line, words.substr(0, equals));
  if (ends(key, ":") || ends(key, "=")) {
    at.key.clear();
    return at.say("one \"=\" is wanted between key and value: write " + bare(key.substr(0, key.size() - 1)) +
                      " = " + printable(value),
                  words);
  }
  if (auto fault = key_slip(table, line, key, value))
    return fault;
  if (at.key.empty())
    return {};
  const CatalogueRow *row = row_of(at.key);
  if (value.empty() || value[0] == '#') {
    const bool text_wanted = value.size() > 1 && row && row->type == KeyType::text;
    if (!row)
      return at.say("not valid TOML: no value after \"=\"");
    return at.say(text_wanted
                      ? "# begins a remark, so there is no value: words need straight quotes: write " + key +
                            " = " + quoted(printable(value))
                      : "no value after \"=\"");
  }
  if (value[0] == '=')
    return at.say("one \"=\" is wanted: write " + key + " = " + printable(trimmed(value.substr(1))), words);
  if (value[0] == '[' && std::abs(left_open(value)) > 3)
    return {};
  if (value[0] == '[')
    return list_slip(at, key, without_remark(value));
  if (value[0] == '{')
    return braces_slip(line, words);
  if (value[0] == '"' || value[0] == '\'')
    return text_slip(at, key, value, row, parser_words);
  if (odd_quote_at_start(value)) {
    Fault f = word_slip(at, key, value, row);
    f.hint = such_quotes_elsewhere(lines, line);
    return f;
  }
  if (auto fault = digits_slip(at, key, value, row, parser_words))
    return fault;
  if (std::isalpha(static_cast<unsigned char>(value[0])) || static_cast<unsigned char>(value[0]) >= 0x80)
    return word_slip(at, key, value, row);
  return at.say("no value that can be read: words stand in straight quotes, numbers do not", value);
}

} // namespace raybend
