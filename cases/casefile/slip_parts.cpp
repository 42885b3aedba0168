#include "cases/casefile/slip_parts.hpp"
#include <algorithm>
#include <cctype>
#include <iterator>
#include <sstream>

namespace raybend::slip {

namespace {

/// Quotes of word processors and of other languages, accents that stand for quotes: they open or close no
/// text.
const char *const odd_quotes[] = {"“", "”", "„", "‟", "«", "»", "″", "‘",
                                  "’", "‚", "‛", "‹", "›", "′", "´", "`"};

} // namespace

bool begins(const std::string &text, const std::string &start) {
  return text.compare(0, start.size(), start) == 0;
}
bool ends(const std::string &text, const std::string &end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}
bool of_a_key(const char c) {
  return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-' || c == '.';
}

bool has_odd_quote(const std::string &text) {
  return std::any_of(std::begin(odd_quotes), std::end(odd_quotes),
                     [&text](const char *quote) { return contains(text, quote); });
}

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

const CatalogueRow *row_of(const std::string &key, const std::string &kind) {
  const std::string general = general_key(key), elements = "designs[].support[]";
  if (const CatalogueRow *row = find_catalogue_row(general))
    return row;
  if (!begins(general, elements + "."))
    return nullptr;
  const std::string name = general.substr(elements.size());
  if (const CatalogueRow *row = find_catalogue_row("designs[].support[" + kind + "]" + name))
    return row;
  for (const CatalogueRow &row : catalogue())
    if (begins(row.key, "designs[].support[") && ends(row.key, "]" + name))
      return &row;
  return nullptr;
}

bool takes_number(const CatalogueRow *row) {
  return row && (row->type == KeyType::number || row->type == KeyType::integer);
}

std::string table_line(const std::string &name, const bool doubled) {
  bool list = doubled, single = false;
  for (const CatalogueRow &row : catalogue()) {
    list |= begins(row.key, name + "[");
    single |= begins(row.key, name + ".") && name != "activity"; // one or several
  }
  list &= !single;
  if (name == "designs.layers" || name == "designs.support")
    list = true;
  return list ? "[[" + name + "]]" : "[" + name + "]";
}

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

std::string written(const std::string &name, const CatalogueRow *row, const std::string &words) {
  std::string value = words;
  if (row && !row->choices.empty() &&
      std::find(row->choices.begin(), row->choices.end(), words) == row->choices.end())
    if (const std::vector<std::string> likely = likely_names(words, row->choices); likely.size() == 1)
      value = likely.front();
  return name + " = " + quoted(printable(value));
}

Fault Slip::say(const std::string &problem, const std::string &found) const {
  Fault f;
  f.line = line;
  f.key = printable(key);
  f.problem = problem;
  f.found = printable(found);
  const CatalogueRow *row = row_of(key, kind);
  if (!row || row->type == KeyType::text || row->type == KeyType::label)
    return f;
  const bool of_any_kind = row->key != general_key(key) && !contains(row->key, "[" + kind + "]");
  if (!of_any_kind || row->type == KeyType::choice) // the ranges of the kinds differ
    f.allowed = row->allowed_words();
  return f;
}

} // namespace raybend::slip
