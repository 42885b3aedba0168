#include "cases/progress.hpp"
#include <cstdio>

namespace raybend {

ProgressLine::ProgressLine(bool shown) : shown_(shown), start_(std::chrono::steady_clock::now()) {}

ProgressLine::~ProgressLine() {
  if (shown_)
    std::fprintf(stderr, "\r\033[K");
}

double ProgressLine::seconds() const {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
}

void ProgressLine::say(const std::string &words) {
  if (!shown_)
    return;
  if (words.empty())
    std::fprintf(stderr, "\r\033[K");
  else
    std::fprintf(stderr, "\r\033[K%4.0f s  %.110s", seconds(), words.c_str());
  std::fflush(stderr);
}

} // namespace raybend
