#include "cases/source_file.hpp"
#include "cases/case_error.hpp"
#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace raybend {

namespace {

[[noreturn]] void refuse(const std::string &path, const std::string &problem, const int line = 0) {
  Fault f;
  f.file = path.empty() ? "(no name)" : path;
  f.line = line;
  f.problem = problem;
  throw CaseError({f});
}

/// Place of the first byte that is not valid UTF-8, or npos (overlong forms and surrogates are invalid).
std::size_t first_bad_byte(const std::string &text) {
  const auto byte = [&text](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
  };
  for (std::size_t i = 0; i < text.size();) {
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
    refuse(path, "is larger than 1 MiB; a case file has a few kilobytes");
  const std::size_t bad = std::min(first_bad_byte(text), text.find('\0'));
  if (bad != std::string::npos)
    refuse(path, "is not UTF-8 text",
           1 + static_cast<int>(std::count(text.begin(), text.begin() + bad, '\n')));
  return text;
}

} // namespace raybend
