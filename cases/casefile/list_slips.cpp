#include "cases/casefile/number_slip.hpp"
#include "cases/casefile/slip_parts.hpp"
#include "cases/casefile/typing_slip.hpp"
#include <algorithm>
#include <cctype>

namespace raybend {

using namespace slip;

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

} // namespace raybend

namespace raybend::slip {

std::optional<Fault> list_slip(const Slip &at, const std::string &name, const std::string &value) {
  const bool no_quotes =
      value.find_first_of("\"'") == std::string::npos &&
      std::any_of(value.begin(), value.end(), [](unsigned char c) { return std::isalpha(c); });
  const bool odd = has_odd_quote(value);
  const char *problem = left_open(value) > 0   ? "the list's closing bracket is missing"
                        : left_open(value) < 0 ? "the list has a closing bracket too many"
                        : contains(value, ";") ? "commas stand between the entries of a list"
                        : odd || no_quotes     ? "words need straight quotes"
                                               : "quotes stand round every word of a list and commas between";
  Fault f = at.say(std::string(problem) + ": write " + name + " = " + list_written(value), value);
  f.allowed.clear();
  return f;
}

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

} // namespace raybend::slip
