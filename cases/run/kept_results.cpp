// What a run that was stopped had finished, for the next one to go on from.
#include "cases/run/kept_results.hpp"
#include "geometry/version.hpp"
#include "postprocess/text/file_write.hpp"
#include <cerrno>
#include <chrono>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <sys/file.h>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>

namespace raybend {

namespace fs = std::filesystem;

namespace {

/// This build: version, size and time of the program's file.
std::string program_words() {
  struct stat s {};
  stat("/proc/self/exe", &s);
  return std::string(raybend_version) + " " + std::to_string(s.st_size) + " " +
         std::to_string(s.st_mtim.tv_sec) + "." + std::to_string(s.st_mtim.tv_nsec) + "\n";
}

std::string text_of(const std::string &path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

} // namespace

KeptResults::KeptResults(const std::string &results) : program_(program_words()) {
  fs::path target = fs::weakly_canonical(fs::absolute(results));
  if (!target.has_filename())
    target = target.parent_path();
  folder_ = (target.parent_path() / ("." + target.filename().string() + ".unfinished")).string();
  std::error_code error;
  fs::create_directories(folder_, error);
  const std::string lock = folder_ + "/lock";
  lock_ = open(lock.c_str(), O_CREAT | O_RDWR | O_CLOEXEC, 0666);
  if (error || lock_ < 0)
    throw std::runtime_error("cannot write to " + folder_ + ": " +
                             (error ? error.message() : std::strerror(errno)));
  // The processes of a run that was killed outright share its lock and end a moment after it.
  for (int tries = 0; flock(lock_, LOCK_EX | LOCK_NB) != 0; ++tries) {
    if (tries < 30) {
      std::this_thread::sleep_for(std::chrono::milliseconds(100));
      continue;
    }
    close(lock_);
    throw std::runtime_error("another run writes its results to " + results + " (" + folder_ +
                             "); wait for it, or name another folder with --out");
  }
  bool empty = true;
  for (const fs::directory_entry &entry : fs::directory_iterator(folder_))
    empty &= entry.path().extension() != ".done";
  if (empty)
    while_empty_.emplace(folder_);
}

KeptResults::~KeptResults() {
  if (done_.empty())
    clear();
  close(lock_);
}

bool KeptResults::done(const std::string &job, const std::string &made_of) {
  const bool same = text_of(mark_path(job)) == program_ + made_of;
  if (same)
    done_.insert(job);
  return same;
}

void KeptResults::mark_done(const std::string &job, const std::string &made_of) {
  while_empty_.reset();
  const std::string fresh = mark_path(job) + ".new"; // renamed: no half mark
  write_file(fresh, program_ + made_of);
  fs::rename(fresh, mark_path(job));
  done_.insert(job);
}

void KeptResults::clear() {
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

} // namespace raybend
