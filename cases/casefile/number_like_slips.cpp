#include "cases/casefile/slip_parts.hpp"
#include <algorithm>
#include <cctype>

namespace raybend::slip {

namespace {

/// A mixed number, as shoe sizes are said: 8 1/2, 8½; nothing if it is none.
std::optional<double> mixed_number(const std::string &text) {
  std::size_t at = 0;
  const auto whole = [&]() -> std::optional<double> {
    const std::size_t first = at;
    while (at < text.size() && std::isdigit(static_cast<unsigned char>(text[at])))
      ++at;
    return at == first || at > first + 4 ? std::nullopt
                                         : std::optional<double>(std::stod(text.substr(first, at - first)));
  };
  const std::optional<double> units = whole();
  if (units && at < text.size() && text[at] == '/')
    at = 0; // no whole number before the fraction
  const double before = at == 0 ? 0 : *units;
  while (at < text.size() && text[at] == ' ')
    ++at;
  const std::string rest = text.substr(at);
  for (const auto &[sign, part] : {std::pair{"½", 0.5}, std::pair{"¼", 0.25}, std::pair{"¾", 0.75}})
    if (rest == sign)
      return before + part;
  const std::optional<double> over = whole();
  if (!over || at >= text.size() || text[at++] != '/')
    return {};
  const std::optional<double> under = whole();
  if (!under || *under < 2 || *over >= *under || at != text.size())
    return {};
  return before + *over / *under;
}

} // namespace

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
  if (const auto mixed = mixed_number(found); mixed && (!row || row->type == KeyType::number))
    return at.say("one number is wanted, with a decimal point: write " + name + " = " + number_text(*mixed),
                  found);
  for (const std::string spread : {"±", "+/-", "+-"})
    if (const std::string number = trimmed(found.substr(0, found.find(spread)));
        contains(found, spread) && is_number(number))
      return at.say("one number is wanted, without its spread: write " + name + " = " + number, found);
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

} // namespace raybend::slip
