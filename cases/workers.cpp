#include "cases/workers.hpp"
#include "cases/program_start.hpp"
#include "cases/signal_pass.hpp"
#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>
#include <utility>
#include <vector>

namespace raybend {

namespace {

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

void tell(const std::string &line) {
  if (const char *file = std::getenv(status_variable)) {
    std::ofstream out(file, std::ios::app);
    out << line << "\n";
  }
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

void hand_over_status(int status) {
  tell("status " + std::to_string(status));
}
void hand_over_staging(const std::string &folder) {
  tell("staging " + folder);
}
void hand_over_trouble(std::string words) {
  std::replace(words.begin(), words.end(), '\n', ' ');
  tell("trouble " + words);
}

int run_on_all_cores(int argc, char **argv) {
  const unsigned cores = std::min(16u, std::max(1u, std::thread::hardware_concurrency()));
  const std::string mpirun = program_path("mpirun");
  if (cores < 2 || mpirun.empty())
    return -1;
  std::string file = (std::filesystem::temp_directory_path() / "raybend-status-XXXXXX").string();
  const int descriptor = mkstemp(file.data());
  if (descriptor < 0)
    return -1;
  close(descriptor);

  std::vector<std::string> words = {"mpirun",
                                    "-q",
                                    "--oversubscribe",
                                    "-n",
                                    std::to_string(cores),
                                    std::filesystem::read_symlink("/proc/self/exe").string()};
  words.insert(words.end(), argv + 1, argv + argc);
  std::vector<std::pair<std::string, std::string>> settings = {{status_variable, file}};
  if (isatty(STDERR_FILENO))
    settings.emplace_back(terminal_variable, "1");
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
  const ProgramStart start(mpirun, words, settings);

  std::fflush(nullptr);
  const ChildrenAwaited awaited;
  const SignalPass signals; // mpirun stops its ranks
  const pid_t child = fork();
  if (child == 0) {
    signals.in_child();
    start.become();
  }
  if (child > 0)
    signals.to(child);
  int wait_status = 0, status = child < 0 ? -1 : 1;
  std::string staging;
  if (child > 0) {
    pid_t ended;
    do
      ended = waitpid(child, &wait_status, 0);
    while (ended < 0 && errno == EINTR);
    if (ended < 0) // nothing is known of how it ended: the status file alone counts
      wait_status = 0;
    bool heard = false;
    std::ifstream in(file);
    for (std::string word, rest; in >> word && std::getline(in >> std::ws, rest);) {
      if (word == "status") {
        status = std::stoi(rest);
        heard = true;
      } else if (word == "staging") {
        staging = rest;
      } else if (word == "trouble") {
        std::fprintf(stderr, "raybend: %s\n", rest.c_str());
      }
    }
    if (!heard && WIFEXITED(wait_status) && WEXITSTATUS(wait_status) == 127)
      status = -1;
    else if (!heard) {
      std::fprintf(stderr, "raybend: stopped before the end; nothing was written\n");
      status = 1;
    }
    const std::string name = std::filesystem::path(staging).filename().string();
    if (!heard && name.find(".partial-") != std::string::npos && name.front() == '.') {
      std::error_code ignored;
      std::filesystem::remove_all(staging, ignored);
    }
  }
  std::filesystem::remove(file);
  return status;
}

} // namespace raybend
