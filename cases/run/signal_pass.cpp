#include "cases/run/signal_pass.hpp"
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
    to_end = signal;
    if (program > 0)
      kill(program, SIGTERM);
  }
  errno = before;
}

} // namespace

SignalPass::SignalPass()
    : ends_(ending_signals, pass_on), stops_(std::array<int, 2>{SIGTSTP, SIGCONT}, pass_on) {}

SignalPass::~SignalPass() {
  program_id = to_end = 0; // for the next one
}

void SignalPass::in_child() const {
  setpgid(0, 0);
  ends_.restore();
  stops_.restore();
  if (const int nothing = open("/dev/null", O_RDONLY); nothing >= 0)
    dup2(nothing, STDIN_FILENO);
}

int SignalPass::ended_by() const {
  return to_end;
}

void SignalPass::to(pid_t program) const {
  setpgid(program, program); // whoever of the two is first
  program_id = program;
  if (to_end)
    kill(program, SIGTERM);
}

} // namespace raybend
