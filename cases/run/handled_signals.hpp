// Signals that go to a handler for a while.
#pragma once
#include <array>
#include <csignal>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace raybend {

/// What ends a program: from the keyboard, from another program, with the terminal.
inline constexpr std::array<int, 3> ending_signals = {SIGINT, SIGTERM, SIGHUP};

/// Thrown where one of them was heard, so that everything is cleaned up on the way out.
struct StoppedBySignal : std::runtime_error {
  StoppedBySignal(const std::string &words, const int signal_) : std::runtime_error(words), signal(signal_) {}
  int signal;
};

/// Ends this process by the signal's own action, so that a shell that waits for it stops too: a loop goes on
/// after a program that only returns a status.
[[noreturn]] void end_by(int signal);

/// As long as the object lives, the signals go to `handler`. What was ignored of SIGHUP and SIGINT stays so, as
/// under nohup and for what a script starts in the background.
class HandledSignals {
public:
  template <typename Signals> HandledSignals(const Signals &signals, void (*handler)(int)) {
    for (const int signal : signals)
      add(signal, handler);
  }
  ~HandledSignals() { restore(); }
  HandledSignals(const HandledSignals &) = delete;
  HandledSignals &operator=(const HandledSignals &) = delete;

  /// As they were before. Allocates nothing, for use between fork and exec.
  void restore() const;

private:
  void add(int signal, void (*handler)(int));

  std::vector<std::pair<int, struct sigaction>> old_;
};

} // namespace raybend
