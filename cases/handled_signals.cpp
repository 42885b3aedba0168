#include "cases/handled_signals.hpp"

namespace raybend {

void HandledSignals::add(int signal, void (*handler)(int)) {
  struct sigaction now = {}, old = {};
  sigaction(signal, nullptr, &old);
  if (signal == SIGHUP && old.sa_handler == SIG_IGN)
    return;
  old_.emplace_back(signal, old); // before it is taken: this may throw
  now.sa_handler = handler;
  sigaction(signal, &now, nullptr);
}

void HandledSignals::restore() const {
  for (const auto &[signal, old] : old_)
    sigaction(signal, &old, nullptr);
}

} // namespace raybend
