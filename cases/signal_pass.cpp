#include "cases/signal_pass.hpp"
#include <cerrno>
#include <fcntl.h>
#include <unistd.h>

namespace raybend {

namespace {

volatile sig_atomic_t program_id = 0, to_end = 0;

void pass_on(int signal) {
  const int before = errno;
  const pid_t program = program_id;
  if (signal == SIGTSTP || signal == SIGCONT) {
    if (program > 0)
      kill(program, signal);
    if (signal == SIGTSTP)
      raise(SIGSTOP);
  } else if (!to_end) {
    to_end = 1;
    if (program > 0)
      kill(program, SIGTERM);
  }
  errno = before;
}

} // namespace

SignalPass::SignalPass() {
  program_id = to_end = 0;
  struct sigaction action = {};
  action.sa_handler = pass_on;
  for (std::size_t i = 0; i < signals.size(); ++i)
    sigaction(signals[i], &action, &old_[i]);
}

SignalPass::~SignalPass() {
  program_id = 0;
  for (std::size_t i = 0; i < signals.size(); ++i)
    sigaction(signals[i], &old_[i], nullptr);
}

void SignalPass::in_child() const {
  setpgid(0, 0);
  for (std::size_t i = 0; i < signals.size(); ++i)
    sigaction(signals[i], &old_[i], nullptr);
  if (const int nothing = open("/dev/null", O_RDONLY); nothing >= 0)
    dup2(nothing, STDIN_FILENO);
}

void SignalPass::to(pid_t program) const {
  setpgid(program, program); // whoever of the two is first
  program_id = program;
  if (to_end)
    kill(program, SIGTERM);
}

} // namespace raybend
