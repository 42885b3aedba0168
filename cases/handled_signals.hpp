// Signals that go to a handler for a while.
#pragma once
#include <array>
#include <csignal>
#include <utility>
#include <vector>

namespace raybend {

/// What ends a program: from the keyboard, from another program, with the terminal.
inline constexpr std::array<int, 3> ending_signals = {SIGINT, SIGTERM, SIGHUP};

/// As long as the object lives, the signals go to `handler`. A SIGHUP that was ignored, as under nohup, stays so;
/// the others are taken even so: shells ignore SIGINT for what they start in the background.
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
