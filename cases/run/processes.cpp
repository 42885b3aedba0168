// Work side by side by fork: the case is read once, and nothing is handed over but results. MPI cannot start processes
// outside mpirun without a daemon of its own, and Boost.Process would start the program anew; a fork has all in memory.
#include "cases/run/processes.hpp"
#include "cases/run/handled_signals.hpp"
#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <map>
#include <numeric>
#include <poll.h>
#include <stdexcept>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace raybend {

namespace {

volatile std::sig_atomic_t interrupted = 0; // the signal that came

void note_interrupt(const int signal) {
  interrupted = signal;
}

/// Before every message: 's' of words, 'r' of a result, and how many bytes follow.
struct Head {
  char kind;
  std::uint64_t size;
};

void write_all(const int file, const char *data, std::size_t size) {
  while (size > 0) {
    const ssize_t n = write(file, data, size);
    if (n < 0 && errno != EINTR)
      throw std::runtime_error("nobody waits for the result");
    data += std::max<ssize_t>(n, 0);
    size -= std::max<ssize_t>(n, 0);
  }
}

void post(const int file, const char kind, const std::string &bytes) {
  Head head = {};
  head.kind = kind;
  head.size = bytes.size();
  write_all(file, reinterpret_cast<const char *>(&head), sizeof head);
  write_all(file, bytes.data(), bytes.size());
}

/// The ending signals wait while the object lives, but in the calls that are given `before`.
struct SignalsBlocked {
  sigset_t before;
  SignalsBlocked() {
    sigset_t ends;
    sigemptyset(&ends);
    for (const int signal : ending_signals)
      sigaddset(&ends, signal);
    sigprocmask(SIG_BLOCK, &ends, &before);
  }
  ~SignalsBlocked() { sigprocmask(SIG_SETMASK, &before, nullptr); }
};

/// As long as the object lives, ended children can be waited for even if this process was started with SIGCHLD
/// ignored, where the system forgets their status.
struct ChildrenAwaited {
  void (*old)(int) = std::signal(SIGCHLD, SIG_DFL);
  ~ChildrenAwaited() { std::signal(SIGCHLD, old); }
};

struct Process {
  std::size_t work = 0;
  pid_t id = -1;
  int messages = -1, errors = -1; ///< the pipe's end to read, a nameless file that takes its stderr
  std::string heard;              ///< of a message that is not complete

  void close_all() const {
    close(messages);
    close(errors);
  }
};

[[noreturn]] void run_here(const Work &work, const int messages, const int errors, const pid_t parent,
                           const sigset_t &signals) {
  prctl(PR_SET_PDEATHSIG, SIGTERM); // when the parent ends, however that is
  if (getppid() != parent)
    _exit(1); // it has
  for (const int signal : ending_signals)
    if (struct sigaction now; sigaction(signal, nullptr, &now) == 0 && now.sa_handler == note_interrupt)
      std::signal(signal, SIG_DFL);
  sigprocmask(SIG_SETMASK, &signals, nullptr);
  const int nothing = open("/dev/null", O_RDWR | O_CLOEXEC);
  dup2(nothing, STDIN_FILENO);
  dup2(nothing, STDOUT_FILENO);
  dup2(errors, STDERR_FILENO);
  int status = 0;
  try {
    work.run(Talk(messages));
  } catch (const std::exception &error) {
    std::fprintf(stderr, "%s\n", error.what());
    status = 1;
  }
  std::fflush(nullptr);
  _exit(status); // nothing of the parent's is cleaned up here
}

/// False if no process could be started now; errno says why.
bool start(const Work &work, Process &process, const SignalsBlocked &blocked) {
  int ends[2];
  process.errors = memfd_create("errors", MFD_CLOEXEC);
  if (process.errors < 0)
    return false;
  if (pipe2(ends, O_CLOEXEC) != 0) {
    const int why = errno;
    close(process.errors);
    errno = why;
    return false;
  }
  std::fflush(nullptr);
  const pid_t parent = getpid();
  process.id = fork();
  if (process.id == 0) {
    close(ends[0]);
    run_here(work, ends[1], process.errors, parent, blocked.before);
  }
  const int why = errno;
  close(ends[1]);
  process.messages = ends[0];
  if (process.id < 0)
    process.close_all();
  errno = why;
  return process.id > 0;
}

int awaited(const pid_t id) {
  int status = 0;
  while (waitpid(id, &status, 0) < 0 && errno == EINTR) {
  }
  return status;
}

/// The first words of what it said on stderr: libraries frame theirs with lines of dashes.
std::string first_words(const int errors) {
  char buffer[4000];
  const ssize_t n = pread(errors, buffer, sizeof buffer, 0);
  std::string text(buffer, std::max<ssize_t>(n, 0)), words;
  for (std::size_t at = 0; at < text.size() && words.size() < 600;) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string line = text.substr(at, end - at);
    at = end + 1;
    if (line.find_first_not_of("- \t") == std::string::npos && !words.empty())
      break;
    if (line.find_first_not_of("- \t") != std::string::npos)
      words += (words.empty() ? "" : " ") + line;
  }
  return words;
}

std::string trouble(const int status, const std::string &words) {
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0)
    return "";
  if (WIFSIGNALED(status))
    return std::string("the calculation was ended by a signal (") + strsignal(WTERMSIG(status)) + ")";
  return words.empty() ? "the calculation ended with status " + std::to_string(WEXITSTATUS(status)) : words;
}

/// Reads what there is and tells the messages that are complete. False at the end.
bool listen(Process &process, const Heard &heard) {
  char buffer[1 << 16];
  const ssize_t n = read(process.messages, buffer, sizeof buffer);
  if (n <= 0)
    return n < 0 && (errno == EINTR || errno == EAGAIN);
  process.heard.append(buffer, n);
  for (Head head; process.heard.size() >= sizeof head;) {
    std::memcpy(&head, process.heard.data(), sizeof head);
    if (process.heard.size() - sizeof head < head.size)
      break;
    const std::string bytes = process.heard.substr(sizeof head, head.size);
    process.heard.erase(0, sizeof head + head.size);
    if (const auto &tell = head.kind == 's' ? heard.said : heard.received; tell)
      tell(process.work, bytes);
  }
  return true;
}

} // namespace

void Talk::say(const std::string &words) const {
  post(descriptor_, 's', words);
}
void Talk::send(const std::string &bytes) const {
  post(descriptor_, 'r', bytes);
}

unsigned process_count() {
  return std::clamp(std::thread::hardware_concurrency(), 1u, 16u);
}

void run_side_by_side(const std::vector<Work> &work, const Heard &heard) {
  interrupted = 0;
  const SignalsBlocked blocked;
  const HandledSignals handled(ending_signals, note_interrupt);
  const ChildrenAwaited children;
  std::vector<std::size_t> order(work.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return work[a].cost > work[b].cost; });
  std::vector<Process> running;
  std::size_t next = 0;
  try {
    while (next < work.size() || !running.empty()) {
      while (next < work.size() && running.size() < process_count()) {
        Process process;
        process.work = order[next];
        if (!start(work[process.work], process, blocked)) {
          if (running.empty())
            throw std::runtime_error(std::string("cannot start a process: ") + std::strerror(errno));
          break; // again when one has ended
        }
        running.push_back(process);
        ++next;
      }
      std::vector<pollfd> wait;
      for (const Process &p : running)
        wait.push_back({p.messages, POLLIN, 0});
      if (ppoll(wait.data(), wait.size(), nullptr, &blocked.before) < 0 && errno != EINTR)
        throw std::runtime_error(std::string("lost a process: ") + std::strerror(errno));
      if (interrupted)
        throw StoppedBySignal("stopped before the end; nothing was written", interrupted);
      for (std::size_t i = wait.size(); i-- > 0;) {
        if (wait[i].revents == 0 || listen(running[i], heard))
          continue;
        const Process ended = running[i];
        running.erase(running.begin() + i);
        const int status = awaited(ended.id);
        const std::string why = trouble(status, first_words(ended.errors));
        ended.close_all();
        heard.finished(ended.work, why, WIFSIGNALED(status));
      }
    }
  } catch (...) { // none of them outlives this call
    for (const Process &p : running)
      kill(p.id, SIGTERM);
    for (const Process &p : running) {
      awaited(p.id);
      p.close_all();
    }
    throw;
  }
}

} // namespace raybend
