// The hidden folder beside the results, put in place in one step.
#include "postprocess/files/output_folder.hpp"
#include "postprocess/text/file_write.hpp"
#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <set>
#include <stdexcept>
#include <sys/file.h>
#include <unistd.h>
#include <vector>

namespace raybend {

namespace fs = std::filesystem;

namespace {

/// Files below `root`, relative, sorted.
std::vector<std::string> files_below(const fs::path &root) {
  std::vector<std::string> names;
  for (const auto &entry : fs::recursive_directory_iterator(root))
    if (entry.is_symlink() || !entry.is_directory())
      names.push_back(entry.path().lexically_relative(root).generic_string());
  std::sort(names.begin(), names.end());
  return names;
}

void refuse_what_is_not_ours(const fs::path &path) {
  if (!fs::exists(path))
    return;
  if (!fs::is_directory(path))
    throw std::runtime_error(path.string() + " is a file; name a folder for the results");
  std::set<std::string> ours = {OutputFolder::list_name};
  std::ifstream list(path / OutputFolder::list_name);
  for (std::string line; std::getline(list, line);)
    ours.insert(line);
  for (const std::string &name : files_below(path))
    if (ours.count(name) == 0)
      throw std::runtime_error("the folder " + path.string() +
                               " holds files that are not results of Raybend (" + name +
                               "); it is left alone, name another folder");
}

/// An open folder whose lock this program holds until it ends; -1 if another does, or the folder cannot be opened.
int locked(const fs::path &folder) {
  const int file = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  if (file >= 0 && flock(file, LOCK_EX | LOCK_NB) != 0) {
    close(file);
    return -1;
  }
  return file;
}

/// Takes away the hidden folders of runs that were killed: nobody holds their lock any more.
void clear_left_over(const fs::path &above, const std::string &start) {
  std::error_code ignored;
  for (const auto &entry : fs::directory_iterator(above, ignored)) {
    const std::string name = entry.path().filename().string();
    if (name.compare(0, start.size(), start) != 0 || name.size() == start.size() ||
        name.find_first_not_of("0123456789", start.size()) != std::string::npos)
      continue;
    if (const int lock = locked(entry.path()); lock >= 0) {
      fs::remove_all(entry.path(), ignored);
      close(lock);
    }
  }
}

/// Puts `fresh` where `old` is, in one step where the file system can; then `fresh` holds what was old.
void exchange(const fs::path &fresh, const fs::path &old) {
  if (::renameat2(AT_FDCWD, fresh.c_str(), AT_FDCWD, old.c_str(), RENAME_EXCHANGE) == 0)
    return;
  if (errno != EINVAL && errno != ENOSYS)
    throw std::runtime_error("could not replace " + old.string() + ": " + std::strerror(errno));
  const fs::path aside = fresh.string() + ".old";
  fs::rename(old, aside);
  std::error_code error;
  fs::rename(fresh, old, error);
  if (error) {
    fs::rename(aside, old);
    throw std::runtime_error("could not replace " + old.string() + ": " + error.message());
  }
  fs::rename(aside, fresh);
}

} // namespace

OutputFolder::OutputFolder(const std::string &path) {
  try {
    // weakly_canonical follows symbolic links, so that the folder behind a link is replaced and the link
    // stays.
    fs::path target = fs::weakly_canonical(fs::absolute(path));
    if (!target.has_filename())
      target = target.parent_path();
    if (path.empty() || target == target.root_path() || !target.has_filename())
      throw std::runtime_error("\"" + path + "\" cannot be a folder of results");
    if (fs::is_symlink(target)) // a link that leads somewhere has been followed
      throw std::runtime_error(target.string() + " is a link to what does not exist");
    refuse_what_is_not_ours(target);
    fs::create_directories(target.parent_path());
    final_path = target.string();
    const std::string start = "." + target.filename().string() + ".partial-";
    clear_left_over(target.parent_path(), start);
    staging_path = (target.parent_path() / (start + std::to_string(::getpid()))).string();
    on_signal.emplace(staging_path);
    // under its name it is there with its lock or not at all
    const fs::path unlocked = staging_path + ".new";
    fs::remove_all(unlocked);
    fs::remove_all(staging_path);
    fs::create_directory(unlocked);
    lock = locked(unlocked);
    fs::rename(unlocked, staging_path);
  } catch (const fs::filesystem_error &e) {
    throw std::runtime_error("cannot write results to " + path + ": " + e.code().message());
  }
}

OutputFolder::~OutputFolder() {
  std::error_code ignored;
  if (!committed)
    fs::remove_all(staging_path, ignored);
  if (lock >= 0)
    close(lock);
}

void OutputFolder::write(const std::string &name, const std::string &text) {
  const fs::path path = fs::path(staging_path) / name;
  std::error_code error;
  fs::create_directories(path.parent_path(), error);
  if (error)
    throw std::runtime_error("could not make " + path.parent_path().string() + ": " + error.message());
  write_file(path.string(), text);
}

void OutputFolder::commit() {
  if (committed)
    throw std::logic_error("OutputFolder: committed twice");
  try {
    std::string list;
    for (const std::string &name : files_below(staging_path))
      if (name != list_name)
        list += name + "\n";
    write(list_name, list);
    for (const auto &entry : fs::recursive_directory_iterator(staging_path))
      if (!entry.is_symlink())
        flush_to_disk(entry.path().string());
    flush_to_disk(staging_path);

    refuse_what_is_not_ours(final_path); // someone may have put a file there meanwhile
    if (fs::exists(final_path)) {
      exchange(staging_path, final_path); // a signal from here on removes what was old
      committed = true;
      fs::remove_all(staging_path);
    } else {
      fs::rename(staging_path, final_path);
      committed = true;
    }
    flush_to_disk(fs::path(final_path).parent_path().string());
  } catch (const fs::filesystem_error &e) {
    throw std::runtime_error("could not finish the results in " + final_path + ": " + e.code().message());
  }
}

} // namespace raybend
