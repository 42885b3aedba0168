// A folder of results that is there whole or not at all.
#pragma once
#include "postprocess/files/folder_on_signal.hpp"
#include <optional>
#include <string>

namespace raybend {

/// Files go to a hidden folder beside the wanted one; commit() puts it in place in one step. An older folder
/// of results there is replaced then, and only then. Never replaces what Raybend did not write: if the wanted
/// place holds a file, or a folder with anything in it that is not listed in its own list of files, the
/// constructor throws std::runtime_error. A signal that ends the program takes the hidden folder away too; that of a run that was killed
/// outright is cleared by the next one. All functions throw std::runtime_error in words for people when the
/// disk refuses.
class OutputFolder {
public:
  explicit OutputFolder(const std::string &path);
  ~OutputFolder(); ///< removes what was not committed
  OutputFolder(const OutputFolder &) = delete;
  OutputFolder &operator=(const OutputFolder &) = delete;

  const std::string &staging() const { return staging_path; }

  /// `name` is relative to the folder; folders in it are made.
  void write(const std::string &name, const std::string &text);

  void commit();

  /// Name of the list of files inside a results folder.
  static constexpr const char *list_name = ".raybend-files";

private:
  std::string final_path, staging_path;
  bool committed = false;
  int lock = -1; ///< on the hidden folder while this program runs
  std::optional<FolderOnSignal> on_signal;
};

} // namespace raybend
