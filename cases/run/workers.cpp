#include "cases/run/workers.hpp"
#include "cases/run/program_start.hpp"
#include "cases/run/signal_pass.hpp"
#include "cases/words/temporary_folder.hpp"
#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <sstream>
#include <string>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>
#include <utility>
#include <vector>

namespace raybend {

namespace {

// Where to hand over what is said; the columns of the user's terminal, if there is one.
constexpr const char *status_variable = "RAYBEND_STATUS_FILE", *terminal_variable = "RAYBEND_TERMINAL";

/// The program's path by PATH, empty if it is not there.
std::string program_path(const std::string &name) {
  const char *path = std::getenv("PATH");
  std::string rest = path ? path : "";
  while (!rest.empty()) {
    const auto colon = rest.find(':');
    const std::string file = rest.substr(0, colon) + "/" + name;
    if (access(file.c_str(), X_OK) == 0 && std::filesystem::is_regular_file(file))
      return file;
    rest = colon == std::string::npos ? "" : rest.substr(colon + 1);
  }
  return "";
}

/// One line a message: a word, a blank, the rest.
void tell(const std::string &word, const std::string &rest) {
  if (const char *file = std::getenv(status_variable)) {
    std::ofstream out(file, std::ios::app);
    out << word << " " << rest << "\n";
  }
}

void tell_lines(const std::string &word, const std::string &text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    tell(word, line);
}

/// What the ranks handed over.
struct Message {
  std::optional<int> status; ///< none: they did not come to their end
  std::string staging;
};

/// Prints what they said, in its order, and returns the rest.
Message hear(const std::string &file) {
  Message message;
  std::ifstream in(file);
  for (std::string line; std::getline(in, line);) {
    const std::size_t blank = std::min(line.find(' '), line.size());
    const std::string word = line.substr(0, blank), rest = line.substr(std::min(blank + 1, line.size()));
    if (word == "status") {
      message.status = rest == "0" ? 0 : 1;
    } else if (word == "staging") {
      message.staging = rest;
    } else if (word == "text") {
      std::cout << rest << "\n";
    } else if (word == "trouble" || word == "note") {
      std::cout.flush();
      std::cerr << (word == "trouble" ? "raybend: " : "") << rest << "\n";
    }
  }
  std::cout.flush();
  return message;
}

/// mpirun and this program with the same arguments, for so many ranks.
std::vector<std::string> rank_words(const unsigned ranks, const std::vector<std::string> &arguments) {
  std::vector<std::string> words = {"mpirun",
                                    "-q",
                                    "--oversubscribe",
                                    "-n",
                                    std::to_string(ranks),
                                    std::filesystem::read_symlink("/proc/self/exe").string()};
  words.insert(words.end(), arguments.begin(), arguments.end());
  return words;
}

std::vector<std::pair<std::string, std::string>> rank_settings(const std::string &status_file) {
  std::vector<std::pair<std::string, std::string>> settings = {{status_variable, status_file}};
  if (isatty(STDERR_FILENO))
    settings.emplace_back(terminal_variable, std::to_string(terminal_columns()));
  const auto unless_set = [&settings](const char *name, const char *value) {
    if (!std::getenv(name))
      settings.emplace_back(name, value);
  };
  unless_set("OPENBLAS_NUM_THREADS", "1");
  unless_set("OMP_NUM_THREADS", "1");
  unless_set("OMPI_MCA_btl_vader_single_copy_mechanism", "none");
  if (geteuid() == 0) { // in a container; elsewhere nobody computes as root
    unless_set("OMPI_ALLOW_RUN_AS_ROOT", "1");
    unless_set("OMPI_ALLOW_RUN_AS_ROOT_CONFIRM", "1");
  }
  return settings;
}

/// How a program ended and the signal that was passed on to it, 0 if none.
struct Ending {
  bool started = false;
  int wait_status = 0;
  int signal = 0;
};

Ending run_to_the_end(const ProgramStart &start) {
  std::fflush(nullptr);
  const ChildrenAwaited awaited;
  const SignalPass signals; // mpirun stops its ranks
  Ending ending;
  const pid_t parent = getpid(), child = fork();
  if (child == 0) {
    ProgramStart::end_with(parent);
    signals.in_child();
    start.become();
  }
  if (child < 0)
    return ending;
  ending.started = true;
  signals.to(child);
  pid_t ended;
  do
    ended = waitpid(child, &ending.wait_status, 0);
  while (ended < 0 && errno == EINTR);
  if (ended < 0) // nothing is known of how it ended: the status file alone counts
    ending.wait_status = 0;
  ending.signal = signals.ended_by();
  return ending;
}

void remove_staging(const std::string &staging) {
  const std::string name = std::filesystem::path(staging).filename().string();
  if (name.find(".partial-") == std::string::npos || name.front() != '.')
    return;
  std::error_code ignored;
  std::filesystem::remove_all(staging, ignored);
}

} // namespace

bool under_mpirun() {
  return std::getenv("OMPI_COMM_WORLD_SIZE") || std::getenv("PMI_SIZE");
}
bool started_by_us() {
  return std::getenv(status_variable) != nullptr;
}

int environment_rank() {
  for (const char *name : {"OMPI_COMM_WORLD_RANK", "PMI_RANK"})
    if (const char *rank = std::getenv(name))
      return std::atoi(rank);
  return 0;
}

bool on_terminal() {
  return std::getenv(terminal_variable) != nullptr || isatty(STDERR_FILENO) == 1;
}

unsigned terminal_columns() {
  if (const char *columns = std::getenv(terminal_variable))
    if (const int n = std::atoi(columns); n > 0)
      return n;
  winsize size = {};
  return ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

void hand_over_status(int status) {
  tell("status", std::to_string(status));
}
void hand_over_staging(const std::string &folder) {
  tell("staging", folder);
}
void say_text(const std::string &text) {
  if (started_by_us())
    tell_lines("text", text);
  else
    std::cout << text << std::flush;
}
void say_note(const std::string &line) {
  if (started_by_us())
    tell("note", line);
  else
    std::cerr << line << std::endl;
}
void say_trouble(std::string words) {
  std::replace(words.begin(), words.end(), '\n', ' ');
  if (started_by_us())
    tell("trouble", words);
  else
    std::cerr << "raybend: " << words << std::endl;
}

unsigned ranks_to_start() {
  const unsigned cores = std::min(16u, std::max(1u, std::thread::hardware_concurrency()));
  return program_path("mpirun").empty() ? 1 : cores;
}

int run_on_all_cores(const std::vector<std::string> &arguments) {
  const unsigned ranks = ranks_to_start();
  if (ranks < 2)
    return -1;
  std::string file = temporary_folder() + "/raybend-status-XXXXXX";
  const int descriptor = mkstemp(file.data());
  if (descriptor < 0)
    return -1;
  close(descriptor);
  const Ending ending =
      run_to_the_end({program_path("mpirun"), rank_words(ranks, arguments), rank_settings(file)});
  const Message message = hear(file);
  std::error_code ignored;
  std::filesystem::remove(file, ignored);
  if (message.status && ending.signal == 0)
    return *message.status;
  if (!message.status)
    remove_staging(message.staging);
  if (ending.signal != 0)
    throw StoppedBySignal(message.status ? "stopped when all was done"
                                         : "stopped before the end; nothing was written",
                          ending.signal);
  if (!ending.started || (WIFEXITED(ending.wait_status) && WEXITSTATUS(ending.wait_status) == 127))
    return -1;
  std::cerr << "raybend: stopped before the end; nothing was written\n";
  return 1;
}

} // namespace raybend
