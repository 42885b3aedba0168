#include "cases/run/case_processes.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/program_start.hpp"
#include "cases/words/temporary_folder.hpp"
#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <map>
#include <numeric>
#include <stdexcept>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace raybend {

namespace {

volatile std::sig_atomic_t interrupted = 0; // the signal that came

void note_interrupt(const int signal) {
  interrupted = signal;
}

struct Running {
  std::size_t job;
  int errors; ///< a nameless file that takes its stderr
};

/// A temporary file without a name.
int nameless_file() {
  std::string path = temporary_folder() + "/raybend-case-XXXXXX";
  const int file = mkostemp(path.data(), O_CLOEXEC);
  if (file >= 0)
    unlink(path.c_str());
  return file;
}

std::string text_of(int file) {
  char buffer[2000];
  const ssize_t n = pread(file, buffer, sizeof buffer, 0);
  return std::string(buffer, n > 0 ? n : 0);
}

pid_t start(const CaseProcess &job, int errors) {
  const std::string self = std::filesystem::read_symlink("/proc/self/exe").string();
  std::vector<std::string> words = {self};
  words.insert(words.end(), job.words.begin(), job.words.end());
  const ProgramStart program(self, words, job.environment);
  // A signal that comes before the child has its own dispositions waits until it has: our handler would
  // swallow it.
  sigset_t ends, before;
  sigemptyset(&ends);
  for (const int signal : ending_signals)
    sigaddset(&ends, signal);
  sigprocmask(SIG_BLOCK, &ends, &before);
  const pid_t parent = getpid(), child = fork();
  if (child == 0) {
    ProgramStart::end_with(parent);
    for (const int signal : ending_signals)
      if (struct sigaction now; sigaction(signal, nullptr, &now) == 0 && now.sa_handler == note_interrupt)
        std::signal(signal, SIG_DFL);
    sigprocmask(SIG_SETMASK, &before, nullptr);
    const int nothing = open("/dev/null", O_WRONLY);
    dup2(nothing, STDOUT_FILENO);
    dup2(errors >= 0 ? errors : nothing, STDERR_FILENO);
    program.become();
  }
  const int fault = errno;
  sigprocmask(SIG_SETMASK, &before, nullptr);
  errno = fault;
  return child;
}

constexpr const char *stopped_words = "stopped before the end; nothing was written";

void end_all(const std::map<pid_t, Running> &running) {
  for (const auto &[id, r] : running)
    kill(id, SIGTERM);
  for (const auto &[id, r] : running) {
    while (waitpid(id, nullptr, 0) < 0 && errno == EINTR) {
    }
    close(r.errors);
  }
}

std::string trouble(int status, const std::string &errors) {
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0)
    return "";
  std::string words = errors.substr(0, errors.find('\n'));
  if (words.rfind("raybend: ", 0) == 0)
    words.erase(0, 9);
  if (WIFSIGNALED(status))
    return std::string("the calculation was ended by a signal (") + strsignal(WTERMSIG(status)) + ")";
  return words.empty() ? "the calculation ended with status " + std::to_string(WEXITSTATUS(status)) : words;
}

} // namespace

void run_side_by_side(const std::vector<CaseProcess> &jobs,
                      const std::function<void(const std::string &)> &say,
                      const std::function<void(std::size_t, const std::string &)> &finished) {
  const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
  interrupted = 0;
  const HandledSignals handled(ending_signals, note_interrupt); // they end the waiting below
  const ChildrenAwaited awaited;
  std::map<pid_t, Running> running;
  std::size_t next = 0, done = 0;
  std::vector<std::size_t> order(jobs.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return jobs[a].cost > jobs[b].cost; });
  std::fflush(nullptr);
  try {
    while (done < jobs.size()) {
      while (next < jobs.size() && running.size() < cores && !interrupted) {
        const int errors = nameless_file();
        const pid_t child = start(jobs[order[next]], errors);
        if (child < 0) {
          const std::string why = std::strerror(errno);
          close(errors);
          throw std::runtime_error("cannot start a process: " + why);
        }
        running[child] = {order[next++], errors};
      }
      std::string words = std::to_string(done) + " of " + std::to_string(jobs.size()) + " done; solving";
      for (const auto &[id, r] : running)
        words += " " + jobs[r.job].name;
      say(words);
      int status = 0;
      const pid_t ended = waitpid(-1, &status, 0);
      const int fault = errno;
      const auto it = running.find(ended);
      if (it == running.end()) {
        if (interrupted)
          throw StoppedBySignal(stopped_words, interrupted);
        if (ended < 0 && fault != EINTR)
          throw std::runtime_error(std::string("lost a process: ") + std::strerror(fault));
        continue;
      }
      const Running r = it->second;
      running.erase(it);
      ++done;
      const std::string errors = text_of(r.errors);
      close(r.errors);
      if (interrupted)
        throw StoppedBySignal(stopped_words, interrupted);
      finished(r.job, trouble(status, errors));
    }
  } catch (...) { // none of them outlives this call
    end_all(running);
    throw;
  }
}

} // namespace raybend
