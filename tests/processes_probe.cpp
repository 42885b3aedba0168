// Runs of a program side by side, in a program of its own as they come before MPI: what becomes of those
// still running when the caller fails, and what is known of them where SIGCHLD is ignored. Exit status 0: all
// as wanted. With a word it is one of the runs: "good" and "bad" end at once, "wait" would take 100 s.
#include "cases/run/case_processes.hpp"
#include <algorithm>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <stdexcept>
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

/// What run_side_by_side threw.
std::string thrown(const std::vector<CaseProcess> &jobs, const char *by_running, const char *by_finished) {
  const auto fail = [](const char *words) {
    if (words)
      throw std::logic_error(words);
  };
  try {
    run_side_by_side(
        jobs, [&](const std::string &) { fail(by_running); },
        [&](std::size_t, const std::string &) { fail(by_finished); });
  } catch (const std::logic_error &error) {
    return error.what();
  }
  return "";
}

} // namespace

int main(int argc, char **argv) {
  if (argc > 1) {
    const std::string word = argv[1];
    if (word == "wait")
      sleep(100);
    return word == "bad" ? 3 : 0;
  }
  const CaseProcess good{"good", {"good"}, {}, 2}, bad{"bad", {"bad"}, {}, 2}, wait{"wait", {"wait"}, {}, 1};

  const auto start = std::chrono::steady_clock::now();
  check("an exception of `finished` goes to the caller", thrown({good, wait}, nullptr, "stop") == "stop");
  check("no process is left behind", !has_children());
  check("an exception of `running` goes to the caller", thrown({wait}, "stop", nullptr) == "stop");
  check("no process is left behind", !has_children());
  check("they were ended", std::chrono::steady_clock::now() - start < std::chrono::seconds(50));

  std::signal(SIGCHLD, SIG_IGN);
  std::vector<std::string> ends;
  run_side_by_side(
      {good, bad}, [](const std::string &) {},
      [&](std::size_t job, const std::string &trouble) {
        ends.push_back(std::to_string(job) + ": " + trouble);
      });
  std::sort(ends.begin(), ends.end());
  check("SIGCHLD ignored: how each ended is known",
        ends == std::vector<std::string>{"0: ", "1: the calculation ended with status 3"});
  check("SIGCHLD is ignored as before", std::signal(SIGCHLD, SIG_DFL) == SIG_IGN);
  return failed ? 1 : 0;
}
