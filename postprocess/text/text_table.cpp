// A Markdown table with padded columns, so that the source reads as a table in a terminal too.
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <set>
#include <sstream>
#include <stdexcept>

namespace raybend {

std::size_t text_width(const std::string &text) {
  return std::count_if(text.begin(), text.end(), [](unsigned char c) { return (c & 0xC0) != 0x80; });
}

std::string one_line(const std::string &text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const unsigned char c = text[i];
    const std::size_t length = c < 0x80 ? 1 : (c >> 5) == 6 ? 2 : (c >> 4) == 14 ? 3 : (c >> 3) == 30 ? 4 : 0;
    bool whole = length > 0 && i + length <= text.size();
    for (std::size_t k = 1; whole && k < length; ++k)
      whole = (static_cast<unsigned char>(text[i + k]) & 0xC0) == 0x80;
    if (!whole) {
      out += '?';
      ++i;
      continue;
    }
    if (length == 1)
      out += c < 0x20 || c == 0x7F ? ' ' : static_cast<char>(c);
    else if (length == 2 && c == 0xC2 && static_cast<unsigned char>(text[i + 1]) < 0xA0)
      out += ' '; // C1 control characters
    else
      out += text.substr(i, length);
    i += length;
  }
  return out;
}

std::string csv_text(const std::string &text) {
  const std::string line = one_line(text);
  if (line.find_first_of(",\"") == std::string::npos)
    return line;
  std::string out = "\"";
  for (const char c : line)
    out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

std::string csv_row(const std::vector<std::string> &fields) {
  std::string text;
  for (std::size_t i = 0; i < fields.size(); ++i)
    text += (i > 0 ? "," : "") + fields[i];
  return text + "\n";
}

std::string wrapped(const std::string &text, std::size_t width, const std::string &indent,
                    const std::size_t from) {
  std::istringstream words(text);
  std::string out, word;
  std::size_t column = from;
  // A number keeps its unit: the two are one word.
  static const std::set<std::string> units = {"%", "±", "ue", "N", "kPa", "MPa", "mm", "kg", "s"};
  std::vector<std::string> whole;
  bool glue = false;
  while (words >> word) {
    std::string bare = word;
    while (!bare.empty() && std::string(".,;:)").find(bare.back()) != std::string::npos)
      bare.pop_back();
    const bool joins = units.count(bare) > 0;
    if (!whole.empty() && (joins || glue))
      whole.back() += " " + word;
    else
      whole.push_back(word);
    glue = bare == "±" || bare == "(±";
  }
  for (const std::string &piece : whole) {
    if (!out.empty() && column + 1 + text_width(piece) > width) {
      out += '\n' + indent;
      column = text_width(indent);
    } else if (!out.empty()) {
      out += ' ';
      ++column;
    }
    out += piece;
    column += text_width(piece);
  }
  return out;
}

std::string list_of(const std::vector<std::string> &items) {
  std::string out;
  for (std::size_t i = 0; i < items.size(); ++i)
    out += (i == 0 ? "" : i + 1 == items.size() ? " and " : ", ") + items[i];
  return out;
}

TextTable::TextTable(std::vector<std::string> heads, std::vector<Column> sides_) : sides(std::move(sides_)) {
  if (heads.size() != sides.size())
    throw std::invalid_argument("table: as many sides as heads");
  add(std::move(heads));
}

void TextTable::add(std::vector<std::string> cells) {
  if (cells.size() != sides.size())
    throw std::invalid_argument("table: a row needs one cell for each column");
  for (std::string &cell : cells) {
    cell = one_line(cell);
    std::replace(cell.begin(), cell.end(), '|', '/');
  }
  rows.push_back(std::move(cells));
}

std::string TextTable::markdown() const {
  std::vector<std::size_t> widths(sides.size(), 3);
  for (const auto &row : rows)
    for (std::size_t c = 0; c < row.size(); ++c)
      widths[c] = std::max(widths[c], text_width(row[c]));

  std::string out;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    for (std::size_t c = 0; c < sides.size(); ++c) {
      const std::string space(widths[c] - text_width(rows[r][c]), ' ');
      out += "| " + (sides[c] == Column::left ? rows[r][c] + space : space + rows[r][c]) + ' ';
    }
    out += "|\n";
    if (r == 0) {
      for (std::size_t c = 0; c < sides.size(); ++c)
        out += "|" + std::string(widths[c] + 1, '-') + (sides[c] == Column::right ? ':' : '-');
      out += "|\n";
    }
  }
  return out;
}

} // namespace raybend
