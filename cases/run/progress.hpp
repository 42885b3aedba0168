// One line of progress on a terminal, nothing in a pipe.
#pragma once
#include <chrono>
#include <string>

namespace raybend {

/// Its first so many characters; UTF-8 is not split.
std::string fitted(const std::string &text, std::size_t characters);

/// True if stderr is a terminal.
bool on_terminal();

class ProgressLine {
public:
  /// Silent unless `shown`.
  explicit ProgressLine(bool shown);
  ~ProgressLine();                    ///< clears the line
  void say(const std::string &words); ///< no words: clears the line, for what is printed next
  double seconds() const;

private:
  bool shown_;
  std::chrono::steady_clock::time_point start_;
};

} // namespace raybend
