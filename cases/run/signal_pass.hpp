// Signals that this process gets, passed on once to a program it started.
#pragma once
#include "cases/run/handled_signals.hpp"
#include <sys/types.h>

namespace raybend {

/// As long as the object lives, what would end this process (SIGINT, SIGTERM, SIGHUP) goes to the program
/// instead, as SIGTERM and the first time only: told twice, mpirun drops what its ranks share without
/// removing it. Being stopped and continued from a terminal (SIGTSTP, SIGCONT) goes on to it too. One object
/// at a time.
///
/// The program must be in a process group of its own, or the terminal and `timeout` tell it a second time.
class SignalPass {
public:
  SignalPass();
  ~SignalPass();
  SignalPass(const SignalPass &) = delete;
  SignalPass &operator=(const SignalPass &) = delete;

  /// Of the child, between fork and exec: a group of its own, the signals as they were, nothing on its
  /// standard input (a terminal would stop a program of another group that reads it). Allocates nothing.
  void in_child() const;

  /// The first signal that came and ends this process, 0 if none did.
  int ended_by() const;

  /// Of the parent, after the fork: a signal that came in between is passed on now.
  void to(pid_t program) const;

private:
  HandledSignals ends_, stops_;
};

} // namespace raybend
