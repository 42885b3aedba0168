#include "cases/run/program_start.hpp"
#include <csignal>
#include <cstring>
#include <sys/prctl.h>
#include <unistd.h>

namespace raybend {

ProgramStart::ProgramStart(std::string program, std::vector<std::string> words,
                           const std::vector<std::pair<std::string, std::string>> &settings)
    : program_(std::move(program)), words_(std::move(words)) {
  for (std::string &w : words_)
    argv_.push_back(w.data());
  argv_.push_back(nullptr);
  for (const auto &[name, value] : settings)
    settings_.push_back(name + "=" + value);
  for (char **e = environ; *e; ++e) {
    bool replaced = false;
    for (const auto &[name, value] : settings)
      replaced |= std::strncmp(*e, (name + "=").c_str(), name.size() + 1) == 0;
    if (!replaced)
      environment_.push_back(*e);
  }
  for (std::string &s : settings_)
    environment_.push_back(s.data());
  environment_.push_back(nullptr);
}

void ProgramStart::end_with(const pid_t parent) {
  prctl(PR_SET_PDEATHSIG, SIGTERM);
  if (getppid() != parent)
    _exit(1); // it ended before it was asked for
}

void ProgramStart::become() const {
  std::signal(SIGPIPE, SIG_DFL); // this program ignores it
  execve(program_.c_str(), argv_.data(), environment_.data());
  _exit(127);
}

ChildrenAwaited::ChildrenAwaited() : old_(std::signal(SIGCHLD, SIG_DFL)) {}

ChildrenAwaited::~ChildrenAwaited() {
  std::signal(SIGCHLD, old_);
}

} // namespace raybend
