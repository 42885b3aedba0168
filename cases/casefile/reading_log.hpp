// What is collected while a file is read.
#pragma once
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/toml.hpp"
#include <map>
#include <set>
#include <string>
#include <vector>

namespace raybend {

/// What is collected while a case is read.
struct ReadingLog {
  std::string file;
  std::string text;                              ///< of the file, for what a value's number does not tell
  std::set<std::string> set_keys;                ///< concrete keys given by --set
  std::map<std::string, std::string> set_values; ///< and their values as they were typed
  std::vector<Fault> faults;
  std::vector<std::string> warnings;
  /// Concrete key -> "case", "--set" or, of a value that follows from another key, "case, shoe_size"; others are
  /// defaults.
  std::map<std::string, std::string> origins;
  std::set<std::string> taken;      ///< concrete keys that a reader looked at
  std::map<std::string, int> lines; ///< concrete key -> line, of the keys that are there
  std::set<std::string> blamed;     ///< keys that fault_of() named
  std::set<std::string> shared;     ///< designs of which others may have a part: the same fault is told once
  Fault dropped;                    ///< where fault_of() lets a repeated fault go

  /// `line` 0: none known.
  Fault &fault(const std::string &key, int line, const std::string &problem);
  void warn(const std::string &key, int line, const std::string &words);
  void warn(const std::string &key, const std::string &words); ///< with the key's line, where it has one
  /// The value as it stands in the file or in --set: 1.800; "" where that is not known.
  std::string as_written(const std::string &key, const toml::node &value) const;
  /// The value of `key` follows from `cause`, a key that is given; a key that is given itself keeps its origin.
  void derive(const std::string &key, const std::string &cause);
  /// A fault of several values together, placed at the first of these keys that the case gives (else at the
  /// first). Only the first such fault of a key is kept: the others have the same cause.
  Fault &fault_of(const std::vector<std::string> &keys, const std::string &problem);
  /// Drops what only follows from a misspelt key (the key that was meant is "missing") and sorts by line.
  void tidy();
  /// Throws CaseError with all faults, tidied, where there are any.
  void end_if_faulty();

private:
  Fault at(const std::string &key, int line, const std::string &problem) const;
};

} // namespace raybend
