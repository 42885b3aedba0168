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
    refuse_what_is_not_ours(target);
    fs::create_directories(target.parent_path());
    final_path = target.string();
    staging_path =
        (target.parent_path() / ("." + target.filename().string() + ".partial-" + std::to_string(::getpid())))
            .string();
    fs::remove_all(staging_path);
    on_signal.emplace(staging_path);
    fs::create_directory(staging_path);
  } catch (const fs::filesystem_error &e) {
    throw std::runtime_error("cannot write results to " + path + ": " + e.code().message());
  }
}

OutputFolder::~OutputFolder() {
  std::error_code ignored;
  if (!committed)
    fs::remove_all(staging_path, ignored);
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
