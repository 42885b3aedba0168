#include "cases/casefile/number_slip.hpp"
#include "cases/casefile/slip_parts.hpp"
#include "cases/casefile/typing_slip.hpp"
#include <algorithm>
#include <cctype>

namespace raybend::slip {

namespace {

std::string lower(std::string text) {
  for (char &c : text)
    c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// `problem`, and what to write; of a word that is no choice and stands near to none or to several the choices.
Fault to_write(const Slip &at, const std::string &problem, const std::string &name, const CatalogueRow *row,
               const std::string &words, const std::string &found) {
  const bool choice = row && !row->choices.empty();
  if (!choice || std::find(row->choices.begin(), row->choices.end(), words) != row->choices.end()) {
    Fault f = at.say(problem + ": write " + written(name, row, words), found);
    if (choice)
      f.allowed.clear(); // what to write says it all
    return f;
  }
  const std::vector<std::string> likely = likely_names(words, row->choices);
  if (likely.size() == 1)
    return at.say(problem + ": write " + written(name, row, words), found);
  Fault f = at.say(problem, found);
  f.propose(likely);
  return f;
}

} // namespace

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
  if (row && row->type == KeyType::choice_list && contains(words, ",")) {
    Fault f = at.say("several words stand in square brackets, each in straight quotes: write " + name +
                         " = " + list_written(words),
                     found);
    f.allowed.clear();
    return f;
  }
  if (row && row->type == KeyType::integer)
    return at.say(whole_number_wanted(*row, name, words), found);
  if (takes_number(row))
    return at.say(row->key == "designs[].fit" ? "a number is wanted: 0 is flat, 1 is moulded (total contact)"
                                              : "a number is wanted",
                  found);
  if (!odd_quote_at_start(value) && ends(found, "\""))
    return to_write(at, "the opening quote is missing", name, row, words, found);
  return to_write(at, "words need straight quotes", name, row, words, found);
}

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
    return to_write(at,
                    other ? "the closing quote is not of the same kind as the opening one"
                          : "the closing quote is missing",
                    name, row, words, value);
  }
  const std::string inside = value.substr(1, shut - 1), rest = value.substr(shut + 1);
  const std::string after = trimmed(rest);
  if (after.empty() || after[0] == '#')
    return {};
  if (contains(inside, "#")) { // the quote found belongs to the remark
    const std::string words = trimmed(inside.substr(0, inside.find('#')));
    return to_write(at, "the closing quote is missing", name, row, words, value);
  }
  const bool key_follows = contains(after.substr(0, after.find(quote)), "=");
  const bool second = after[0] == quote || (after[0] == ',' && trimmed(after.substr(1))[0] == quote);
  if (!key_follows && second && row && row->type == KeyType::choice_list) {
    Fault f = at.say("several words stand in square brackets: write " + name + " = " +
                         list_written(trimmed(without_remark(value))),
                     value);
    f.allowed.clear();
    return f;
  }
  if (!key_follows && second && row && row->type == KeyType::choice)
    return at.say("one word is wanted, not several", value);
  if (!key_follows && contains(after, std::string(1, quote)) && after[0] != '/' && after[0] != ';') {
    std::string words = value.substr(1, value.find_last_of(quote) - 1);
    words.erase(std::remove(words.begin(), words.end(), quote), words.end());
    return at.say("a quote inside a text ends it: leave the inner quotes out, " + name + " = " +
                      quoted(printable(words)),
                  value);
  }
  return rest_slip(at, name, value.substr(0, shut + 1), without_remark(rest));
}

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

} // namespace raybend::slip
