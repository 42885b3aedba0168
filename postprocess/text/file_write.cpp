// One file to disk, with every error noticed.
#include "postprocess/text/file_write.hpp"
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <stdexcept>
#include <sys/stat.h>
#include <unistd.h>

namespace raybend {

namespace {

[[noreturn]] void fail(const std::string &path, int error) {
  if (error == ENOSPC || error == EDQUOT)
    throw std::runtime_error("the disk is full: could not write " + path + "; free some space and run again");
  throw std::runtime_error("could not write " + path + ": " + std::strerror(error));
}

} // namespace

void write_file(const std::string &path, const std::string &content) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (file < 0)
    fail(path, errno);
  struct stat kind = {};
  const bool regular = ::fstat(file, &kind) == 0 && S_ISREG(kind.st_mode); // never remove a device
  int error = 0;
  for (std::size_t done = 0; done < content.size() && error == 0;) {
    const ssize_t n = ::write(file, content.data() + done, content.size() - done);
    if (n >= 0)
      done += n;
    else if (errno != EINTR)
      error = errno;
  }
  if (error == 0 && ::fsync(file) != 0 && errno != EINVAL)
    error = errno;
  if (::close(file) != 0 && error == 0)
    error = errno;
  if (error != 0) {
    if (regular)
      ::unlink(path.c_str());
    fail(path, error);
  }
}

void flush_to_disk(const std::string &path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0)
    fail(path, errno);
  const int error =
      ::fsync(file) != 0 && errno != EINVAL ? errno : 0; // some file systems cannot flush folders
  ::close(file);
  if (error != 0)
    fail(path, error);
}

} // namespace raybend
