// A folder that goes when a signal ends the program.
#pragma once
#include <string>

namespace raybend {

/// As long as the object lives, SIGINT, SIGTERM and SIGHUP remove the folder with all that is in it before they end
/// this process. Signals that are ignored, or that somebody else handles, are left to them. At most four objects
/// count at a time.
class FolderOnSignal {
public:
  explicit FolderOnSignal(const std::string &path);
  ~FolderOnSignal();
  FolderOnSignal(const FolderOnSignal &) = delete;
  FolderOnSignal &operator=(const FolderOnSignal &) = delete;

private:
  std::string path_; ///< the handler reads it: it stays where it is
  int slot_ = -1;
};

} // namespace raybend
