#include "cases/casefile/number_slip.hpp"
#include "cases/casefile/slip_parts.hpp"
#include <algorithm>
#include <cctype>

namespace raybend::slip {

namespace {

/// Spaces and marks that cannot be seen and are no space of the keyboard.
const char *const odd_spaces[] = {"\u00a0", "\u202f", "\u2007", "\u2009", "\u200b", "\u2060", "\ufeff"};

} // namespace

std::optional<Fault> line_slip(const std::string &table, Slip at, const std::string &words) {
  const std::string plain = trimmed(without_remark(words));
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
  const CatalogueRow *row = row_of(at.key, at.kind);
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
  const std::vector<std::string> likely = likely_names(joined, names_in(general_key(table)));
  const std::string nearest = likely.size() == 1 ? likely.front() : "";
  const auto number = number_slip(value);
  const std::string plain_value = number && number->unit && !number->comma && !number->grouped
                                      ? value.substr(0, value.find_first_not_of("0123456789.+-"))
                                      : value;
  return at.say((spaces ? "a key is one word, without spaces" : "a key has letters, digits and _ only") +
                    (nearest.empty() ? "" : ": write " + nearest + " = " + printable(plain_value)),
                key);
}

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

} // namespace raybend::slip
