// The words and the environment of a program to be started, made ready before the fork.
#pragma once
#include <string>
#include <sys/types.h>
#include <utility>
#include <vector>

namespace raybend {

/// A child of a process with threads must not allocate between fork and exec: another thread may have held
/// the allocator's lock. All that exec needs is therefore kept here.
class ProgramStart {
public:
  /// `program`: a path (PATH is not searched). `words`: what it reads as its own name, then its arguments.
  /// `settings`: name and value; they replace those of this process's environment.
  ProgramStart(std::string program, std::vector<std::string> words,
               const std::vector<std::pair<std::string, std::string>> &settings);
  ProgramStart(const ProgramStart &) = delete;
  ProgramStart &operator=(const ProgramStart &) = delete;

  /// Of the child, after the fork: it is told to end (SIGTERM) when the process `parent` does, however that
  /// ends.
  static void end_with(pid_t parent);

  /// Becomes the program; ends the process with status 127 if it cannot be started. Allocates nothing.
  [[noreturn]] void become() const;

private:
  std::string program_;
  std::vector<std::string> words_, settings_;
  std::vector<char *> argv_, environment_;
};

/// As long as the object lives, ended children can be waited for even if this process was started with
/// SIGCHLD ignored, where the system forgets their status.
class ChildrenAwaited {
public:
  ChildrenAwaited();
  ~ChildrenAwaited();
  ChildrenAwaited(const ChildrenAwaited &) = delete;
  ChildrenAwaited &operator=(const ChildrenAwaited &) = delete;

private:
  void (*old_)(int);
};

} // namespace raybend
