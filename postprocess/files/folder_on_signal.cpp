// A folder that goes when a signal ends the program.
#include "postprocess/files/folder_on_signal.hpp"
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <dirent.h>
#include <fcntl.h>
#include <sys/syscall.h>
#include <unistd.h>

namespace raybend {

namespace {

constexpr int ending_signals[] = {SIGINT, SIGTERM, SIGHUP};
constexpr int most_folders = 4;
std::atomic<const char *> folders[most_folders];
std::atomic<pid_t> owner; ///< a child between fork and exec has the handler too, but not the folders
static_assert(std::atomic<const char *>::is_always_lock_free, "the handler reads it");

// From here to the handler: only calls that are safe in a signal handler. opendir allocates, so that the entries
// are read by the system call beneath it.

struct Entry { // linux_dirent64
  unsigned long long inode;
  long long offset;
  unsigned short length;
  unsigned char type;
  char name[1];
};

bool is_dots(const char *name) {
  return name[0] == '.' && (name[1] == '\0' || (name[1] == '.' && name[2] == '\0'));
}

void remove_below(const int above, const char *name, const int depth) {
  const int folder = openat(above, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  if (folder < 0)
    return;
  alignas(Entry) char buffer[2048];
  for (long n; (n = syscall(SYS_getdents64, folder, buffer, sizeof buffer)) > 0;)
    for (long at = 0; at < n;) {
      const Entry *entry = reinterpret_cast<const Entry *>(buffer + at);
      at += entry->length;
      if (!is_dots(entry->name) && unlinkat(folder, entry->name, 0) != 0 && depth > 0)
        remove_below(folder, entry->name, depth - 1);
    }
  close(folder);
  unlinkat(above, name, AT_REMOVEDIR);
}

void remove_and_end(const int signal) {
  if (getpid() == owner)
    for (const auto &folder : folders)
      if (const char *path = folder.load())
        remove_below(AT_FDCWD, path, 8);
  std::signal(signal, SIG_DFL);
  raise(signal); // comes when the handler returns
}

void swap_handlers(void (*from)(int), void (*to)(int)) {
  for (const int signal : ending_signals) {
    struct sigaction now = {};
    sigaction(signal, nullptr, &now);
    if (now.sa_handler != from)
      continue;
    now.sa_handler = to;
    sigaction(signal, &now, nullptr);
  }
}

} // namespace

FolderOnSignal::FolderOnSignal(const std::string &path) : path_(path) {
  owner = getpid();
  for (int slot = 0; slot < most_folders && slot_ < 0; ++slot) {
    const char *none = nullptr;
    if (folders[slot].compare_exchange_strong(none, path_.c_str()))
      slot_ = slot;
  }
  swap_handlers(SIG_DFL, remove_and_end);
}

FolderOnSignal::~FolderOnSignal() {
  if (slot_ >= 0)
    folders[slot_] = nullptr;
  for (const auto &folder : folders)
    if (folder.load())
      return;
  swap_handlers(remove_and_end, SIG_DFL);
}

} // namespace raybend
