// What a run that was stopped had finished, for the next one to go on from.
#pragma once
#include "postprocess/files/folder_on_signal.hpp"
#include <optional>
#include <set>
#include <string>

namespace raybend {

/// A hidden folder beside the results, `.NAME.unfinished`, in which jobs leave their files as they end. A job counts
/// as done once its mark is written, which says what it was made of; another program, case or request does it again.
/// The folder goes when nothing in it is done, or by clear(). One run at a time: the constructor throws
/// std::runtime_error while another one has the folder, and in words for people when the disk refuses.
class KeptResults {
public:
  explicit KeptResults(const std::string &results);
  ~KeptResults();
  KeptResults(const KeptResults &) = delete;
  KeptResults &operator=(const KeptResults &) = delete;

  const std::string &folder() const { return folder_; }
  /// `made_of`: all that the result depends on besides the program itself.
  bool done(const std::string &job, const std::string &made_of);
  void mark_done(const std::string &job, const std::string &made_of);
  std::size_t count() const { return done_.size(); } ///< of jobs that done() or mark_done() named
  void clear();

private:
  std::string mark_path(const std::string &job) const { return folder_ + "/" + job + ".done"; }

  std::string folder_, program_;
  std::set<std::string> done_;
  int lock_ = -1;
  std::optional<FolderOnSignal> while_empty_; ///< a signal takes the folder away as long as nothing is kept
};

} // namespace raybend
