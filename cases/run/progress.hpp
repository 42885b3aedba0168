// One line of progress on a terminal, nothing in a pipe.
#pragma once
#include <chrono>
#include <string>

namespace raybend {

/// Its first so many characters; UTF-8 is not split.
std::string fitted(const std::string &text, std::size_t characters);

/// "20 s", "3 min", "2 h"
std::string time_words(double seconds);

/// True if stderr is a terminal.
bool on_terminal();

class ProgressLine {
public:
  /// Silent unless `shown`.
  explicit ProgressLine(bool shown);
  ~ProgressLine();                    ///< clears the line
  void say(const std::string &words); ///< no words: clears the line, for what is printed next
  double seconds() const;

  /// From now on the time left is told, by a forecast of so many seconds in all; 0: it is not.
  void expect(double total);
  /// So many of them are through: the rest takes as much longer or shorter than forecast as they did. No effect without a
  /// forecast.
  void reached(double done);

private:
  bool shown_;
  std::chrono::steady_clock::time_point start_;
  double forecast_ = 0, end_ = 0; ///< s; 0: none
};

} // namespace raybend
