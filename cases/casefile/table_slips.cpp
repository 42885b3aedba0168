#include "cases/casefile/number_slip.hpp"
#include "cases/casefile/slip_parts.hpp"
#include <algorithm>

namespace raybend::slip {

namespace {

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

} // namespace

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
      const std::string last = name.substr(name.find_last_of('.') + 1);
      for (int n = at.line - 1; n >= 1 && !begins(trimmed(lines[n - 1]), "[[designs]]"); --n)
        if (const std::string before = trimmed(lines[n - 1]);
            begins(before, last) && begins(trimmed(before.substr(last.size())), "="))
          return at.say(
              "this design has " + last + " = in line " + std::to_string(n) + " already and [[" + name +
              "]] here: keep one of the two, or write a line [[designs]] where the next design begins");
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
    if (begins(trimmed(lines[first - 1]), "[["))
      return at.say("[" + name + "] stands in single brackets here and in double ones in line " +
                    std::to_string(first) + ": each entry of a list has double brackets: write [[" + name +
                    "]]");
    return at.say(
        "the table [" + name + "] stands twice" + first_in(first) + "; put all its keys below one such line" +
        (name == "activity" ? ", or, of several activities of a day, write [[activity]] before each" : ""));
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

} // namespace raybend::slip
