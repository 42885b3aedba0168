// The text of a case file: size, kind of file and encoding are checked before anything is read into it.
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace raybend {

namespace {

[[noreturn]] void refuse(const std::string &path, const std::string &problem) {
  Fault f;
  f.file = path.empty() ? "(no name)" : path;
  f.problem = problem;
  throw CaseError({f});
}

/// Place of the first byte from `start` on that is not valid UTF-8, or npos (overlong forms and surrogates are
/// invalid).
std::size_t first_bad_byte(const std::string &text, const std::size_t start = 0) {
  const auto byte = [&text](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
  };
  for (std::size_t i = start; i < text.size();) {
    const unsigned b = byte(i);
    std::size_t length = 1;
    unsigned low = 0x80, high = 0xbf; // of the second byte
    if (b < 0x80)
      length = 1;
    else if (b >= 0xc2 && b <= 0xdf)
      length = 2;
    else if (b >= 0xe0 && b <= 0xef) {
      length = 3;
      low = b == 0xe0 ? 0xa0 : 0x80;
      high = b == 0xed ? 0x9f : 0xbf;
    } else if (b >= 0xf0 && b <= 0xf4) {
      length = 4;
      low = b == 0xf0 ? 0x90 : 0x80;
      high = b == 0xf4 ? 0x8f : 0xbf;
    } else
      return i;
    for (std::size_t k = 1; k < length; ++k) {
      const unsigned c = byte(i + k);
      if (c < (k == 1 ? low : 0x80) || c > (k == 1 ? high : 0xbf))
        return i;
    }
    i += length;
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
  if (path.empty())
    refuse(path, "no case file named");
  struct stat info {};
  if (stat(path.c_str(), &info) != 0)
    refuse(path, std::string("cannot read the case file: ") + std::strerror(errno));
  if (S_ISDIR(info.st_mode))
    refuse(path, "is a directory, not a case file");
  if (!S_ISREG(info.st_mode))
    refuse(path, "is not a plain file");
  const int file = open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0)
    refuse(path, std::string("cannot read the case file: ") + std::strerror(errno));

  std::string text;
  char buffer[65536];
  ssize_t got = 0;
  while ((got = read(file, buffer, sizeof buffer)) != 0) {
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0) {
      const int reason = errno;
      close(file);
      refuse(path, std::string("cannot read the case file: ") + std::strerror(reason));
    }
    text.append(buffer, static_cast<std::size_t>(got));
    if (text.size() > largest_case_file)
      break;
  }
  close(file);
  if (text.size() > largest_case_file)
    refuse(path, "is larger than 256 KiB; a case file has a few kilobytes");
  check_encoding(text, path);
  return text;
}

} // namespace raybend
