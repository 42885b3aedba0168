// Work side by side, in a program of its own as it comes before MPI: what becomes of what is still running when the
// caller fails, what is known of work that is killed, and what comes back. Exit status 0: all as wanted.
#include "cases/run/handled_signals.hpp"
#include "cases/run/processes.hpp"
#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <stdexcept>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace raybend;

namespace {

bool failed = false;

void check(const char *words, bool holds) {
  std::printf("%s  %s\n", holds ? "ok   " : "FAIL ", words);
  failed = failed || !holds;
}

bool has_children() {
  return waitpid(-1, nullptr, WNOHANG) >= 0 || errno != ECHILD;
}

void wait_for_ever() {
  for (;;)
    pause();
}

const Work good{2, [](const Talk &talk) { talk.send("good"); }};
const Work bad{2, [](const Talk &) { throw std::runtime_error("no disk"); }};
const Work dead{2, [](const Talk &talk) {
                  talk.send("begun");
                  std::raise(SIGKILL);
                }};
const Work waits{1, [](const Talk &talk) {
                   talk.say("waiting");
                   wait_for_ever();
                 }};

/// What came of each, by its place: what it sent, what went wrong, "!" where it was killed.
std::map<std::size_t, std::string> came_of(const std::vector<Work> &work) {
  std::map<std::size_t, std::string> all;
  Heard heard;
  heard.received = [&](std::size_t i, const std::string &bytes) { all[i] += bytes; };
  heard.finished = [&](std::size_t i, const std::string &trouble, bool killed) {
    all[i] += "|" + trouble.substr(0, 37) + (killed ? "!" : "");
  };
  run_side_by_side(work, heard);
  return all;
}

} // namespace

int main() {
  using Came = std::map<std::size_t, std::string>;
  check("what each sends, throws and dies of",
        came_of({good, bad, dead, good}) == Came{{0, "good|"},
                                                 {1, "|no disk"},
                                                 {2, "begun|the calculation was ended by a signal!"},
                                                 {3, "good|"}});
  const std::string large(5000000, 'x');
  check("large results come whole", came_of({{1, [&](const Talk &talk) { talk.send(large); }},
                                             {1, [&](const Talk &talk) { talk.send(large); }}}) ==
                                        Came{{0, large + "|"}, {1, large + "|"}});

  Heard heard;
  heard.finished = [](std::size_t, const std::string &, bool) { throw std::logic_error("stop"); };
  try {
    run_side_by_side({good, waits}, heard);
    check("an exception of `finished` goes to the caller", false);
  } catch (const std::logic_error &error) {
    check("an exception of `finished` goes to the caller", std::string(error.what()) == "stop");
  }
  check("no process is left behind", !has_children());

  // a signal that comes while one waits
  heard.said = [](std::size_t, const std::string &) { std::raise(SIGTERM); };
  try {
    run_side_by_side({waits}, heard);
    check("a signal ends the waiting", false);
  } catch (const StoppedBySignal &stop) {
    check("a signal ends the waiting", stop.signal == SIGTERM);
  }
  check("no process is left behind", !has_children());
  struct sigaction now;
  sigaction(SIGTERM, nullptr, &now);
  check("the signal is as before", now.sa_handler == SIG_DFL);

  std::signal(SIGCHLD, SIG_IGN);
  check("SIGCHLD ignored: how each ended is known",
        came_of({good, bad}) == Came{{0, "good|"}, {1, "|no disk"}});
  check("SIGCHLD is ignored as before", std::signal(SIGCHLD, SIG_DFL) == SIG_IGN);

  const rlimit few = {10, 10}; // open files: standard ones and those of two or three processes
  setrlimit(RLIMIT_NOFILE, &few);
  check("few open files: all are run", came_of(std::vector<Work>(12, good)).size() == 12);
  return failed ? 1 : 0;
}
