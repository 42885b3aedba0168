// Signals that go to a handler for a while, and the end of this process by one.
#include "cases/run/handled_signals.hpp"
#include <cstdio>
#include <unistd.h>

namespace raybend {

void HandledSignals::add(int signal, void (*handler)(int)) {
  struct sigaction now = {}, old = {};
  sigaction(signal, nullptr, &old);
  if ((signal == SIGHUP || signal == SIGINT) && old.sa_handler == SIG_IGN)
    return;
  old_.emplace_back(signal, old); // before it is taken: this may throw
  now.sa_handler = handler;
  sigaction(signal, &now, nullptr);
}

void HandledSignals::restore() const {
  for (const auto &[signal, old] : old_)
    sigaction(signal, &old, nullptr);
}

void end_by(const int signal) {
  std::fflush(nullptr);
  std::signal(signal, SIG_DFL);
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, signal);
  sigprocmask(SIG_UNBLOCK, &set, nullptr);
  raise(signal);
  _exit(128 + signal);
}

} // namespace raybend
