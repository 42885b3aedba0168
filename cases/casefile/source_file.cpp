// The text of a case file: size, kind of file and encoding are checked before anything is read into it.
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <boost/locale/utf.hpp>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>

namespace raybend {

namespace {

[[noreturn]] void refuse(const std::string &path, const std::string &problem) {
  Fault f;
  f.file = path.empty() ? "(no name)" : path;
  f.problem = problem;
  throw CaseError({f});
}

/// Place of the first byte from `start` on that is not valid UTF-8, or npos. What the decoder gives for an illegal or an
/// incomplete sequence is no code point.
std::size_t first_bad_byte(const std::string &text, const std::size_t start = 0) {
  using Utf8 = boost::locale::utf::utf_traits<char>;
  for (auto at = text.begin() + start; at != text.end();) {
    const std::size_t here = at - text.begin();
    if (!boost::locale::utf::is_valid_codepoint(Utf8::decode(at, text.end())))
      return here;
  }
  return std::string::npos;
}

/// Text of an editor that writes two bytes a character: it says so in its first two bytes, or every other of
/// its bytes is zero as long as the letters are plain ones.
bool is_utf16(const std::string &text) {
  const std::string start = text.substr(0, 2);
  if (start == "\xff\xfe" || start == "\xfe\xff")
    return true;
  constexpr std::size_t looked_at = 200;
  const std::string head = text.substr(0, looked_at);
  const auto zeros = static_cast<std::size_t>(std::count(head.begin(), head.end(), '\0'));
  return zeros >= 2 && zeros * 4 >= head.size();
}

/// The line of that byte with a question mark for each byte that is none of UTF-8.
std::string readable_line(const std::string &text, const std::size_t bad) {
  const std::size_t before = bad == 0 ? std::string::npos : text.rfind('\n', bad - 1);
  const std::size_t begin = before == std::string::npos ? 0 : before + 1;
  std::string line = text.substr(begin, text.find('\n', bad) - begin);
  std::replace(line.begin(), line.end(), '\0', '?');
  for (std::size_t at = first_bad_byte(line); at != std::string::npos; at = first_bad_byte(line, at))
    line[at] = '?';
  const std::size_t ink = line.find_first_not_of(" \t");
  return printable(ink == std::string::npos ? line : line.substr(ink), 100);
}

/// Throws where the text cannot be read as UTF-8.
void check_encoding(const std::string &text, const std::string &path) {
  const std::size_t bad = std::min(first_bad_byte(text), text.find('\0'));
  if (bad == std::string::npos)
    return;
  Fault f;
  f.file = path;
  f.hint = "save the file with the encoding UTF-8";
  if (is_utf16(text)) {
    f.line = 1;
    f.problem = "is UTF-16 text, not UTF-8";
  } else {
    f.line = 1 + static_cast<int>(std::count(text.begin(), text.begin() + bad, '\n'));
    f.problem = "is not UTF-8 text";
    f.found = "\"" + readable_line(text, bad) + "\"";
  }
  throw CaseError({f});
}

} // namespace

std::string read_case_text(const std::string &path) {
  namespace fs = std::filesystem;
  if (path.empty())
    refuse(path, "no case file named");
  std::error_code ignored; // opening the file tells
  const fs::file_status status = fs::status(path, ignored);
  if (fs::is_directory(status))
    refuse(path, "is a directory, not a case file");
  if (fs::exists(status) && !fs::is_regular_file(status))
    refuse(path, "is not a plain file");
  std::ifstream file(path, std::ios::binary);
  if (!file)
    refuse(path, std::string("cannot read the case file: ") + std::strerror(errno));
  std::string text(largest_case_file + 1, '\0');
  file.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (file.bad())
    refuse(path, std::string("cannot read the case file: ") + std::strerror(errno));
  text.resize(static_cast<std::size_t>(file.gcount()));
  if (text.size() > largest_case_file)
    refuse(path, "is larger than 256 KiB; a case file has a few kilobytes");
  check_encoding(text, path);
  return text;
}

} // namespace raybend
