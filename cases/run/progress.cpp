// One line of progress on a terminal.
#include "cases/run/progress.hpp"
#include <cmath>
#include <cstdio>
#include <sys/ioctl.h>
#include <unistd.h>

namespace raybend {

std::string fitted(const std::string &text, const std::size_t characters) {
  std::size_t seen = 0, at = 0;
  for (; at < text.size(); ++at) {
    const bool starts = (static_cast<unsigned char>(text[at]) & 0xC0) != 0x80; // not inside a character
    if (starts && ++seen > characters)
      break;
  }
  return text.substr(0, at);
}

std::string time_words(const double seconds) {
  const auto whole = [](double x) { return std::to_string(std::lround(x)); };
  return seconds < 90     ? whole(seconds) + " s"
         : seconds < 5400 ? whole(seconds / 60) + " min"
                          : whole(seconds / 3600) + " h";
}

bool on_terminal() {
  return isatty(STDERR_FILENO) == 1;
}

namespace {

/// 80 where they are not known.
unsigned terminal_columns() {
  winsize size = {};
  return ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

} // namespace

ProgressLine::ProgressLine(bool shown) : shown_(shown), start_(std::chrono::steady_clock::now()) {}

ProgressLine::~ProgressLine() {
  if (shown_)
    std::fprintf(stderr, "\r\033[K");
}

double ProgressLine::seconds() const {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
}

void ProgressLine::expect(const double total) {
  forecast_ = end_ = total;
}

void ProgressLine::reached(const double done) {
  if (forecast_ > 0 && done > 0)
    end_ = seconds() * forecast_ / done;
}

void ProgressLine::say(const std::string &words) {
  if (!shown_)
    return;
  if (words.empty()) {
    std::fprintf(stderr, "\r\033[K");
  } else {
    char begin[32];
    std::snprintf(begin, sizeof begin, "%4.0f s  ", seconds());
    std::string time = begin;
    if (const double left = end_ - seconds(); left >= 1)
      time += "(about " + time_words(left) + " left)  ";
    // a line as wide as the terminal may already wrap
    std::fprintf(stderr, "\r\033[K%s", fitted(time + words, terminal_columns() - 1).c_str());
  }
  std::fflush(stderr);
}

} // namespace raybend
