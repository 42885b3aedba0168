#include "cases/casefile/typing_slip.hpp"
#include "cases/casefile/number_slip.hpp"
#include "cases/casefile/slip_parts.hpp"
#include <algorithm>
#include <cctype>
#include <cstdlib>

namespace raybend {

using namespace slip;

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
  Slip at{"", line, open_kind(text, line)};
  if (begins(words, "{"))
    return braces_slip(line, words);
  if (begins(words, "["))
    return header_slip(at, words);
  if (equals == std::string::npos)
    return line_slip(table, at, words);
  const std::string key = trimmed(words.substr(0, equals)), value = trimmed(words.substr(equals + 1));
  if (!key.empty() && std::all_of(key.begin(), key.end(), of_a_key))
    at.key = table.empty() ? key : table + "." + key;
  if (auto fault = space_slip(at, words))
    return fault;
  if (auto fault = number_fault(text, line, 0))
    return fault;
  if (begins(key, "#") || begins(key, "//") || begins(key, ";"))
    return line_slip(table, at, words.substr(0, equals));
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
  const CatalogueRow *row = row_of(at.key, at.kind);
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
  if (value[0] == '(' && row && row->type == KeyType::choice_list)
    return at.say("a list stands in square brackets: write " + key + " = " +
                      list_written(value.substr(1, value.find(')') - 1)),
                  value);
  if (auto fault = digits_slip(at, key, value, row, parser_words))
    return fault;
  if (std::isalpha(static_cast<unsigned char>(value[0])) || static_cast<unsigned char>(value[0]) >= 0x80)
    return word_slip(at, key, value, row);
  return at.say("no value that can be read: words stand in straight quotes, numbers do not", value);
}

} // namespace raybend
