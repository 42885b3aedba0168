// SQLite's statements, and its troubles in words for people. For the store alone: no other header here names SQLite.
#pragma once
#include "cases/casefile/case_error.hpp"
#include <cmath>
#include <sqlite3.h>
#include <stdexcept>
#include <string>

namespace raybend {

inline CaseError refusal(const std::string &path, const std::string &problem) {
  Fault f;
  f.file = path;
  f.problem = problem;
  return CaseError({f});
}

/// What SQLite says, as it concerns the user.
[[noreturn]] inline void give_up(const std::string &path, sqlite3 *db, const int code) {
  const std::string words = db ? sqlite3_errmsg(db) : sqlite3_errstr(code);
  switch (code & 0xff) {
  case SQLITE_BUSY:
  case SQLITE_LOCKED:
    throw refusal(path, "another program holds this store; wait for it, or name another one with --store");
  case SQLITE_NOTADB:
    throw refusal(path, "is not a study's store");
  case SQLITE_CORRUPT:
    throw refusal(path, "the store is damaged (" + words +
                            "); keep it aside, or take out of it what can be read with the sqlite3 program");
  case SQLITE_READONLY:
  case SQLITE_CANTOPEN:
  case SQLITE_PERM:
    throw refusal(path, "the store cannot be written (" + words + ")");
  }
  throw std::runtime_error("cannot write to " + path + ": " + words +
                           "; the runs before stay, and the same command goes on from them");
}

/// A prepared statement.
class Statement {
public:
  Statement(const std::string &path, sqlite3 *db, const std::string &sql) : path_(path), db_(db) {
    check(sqlite3_prepare_v2(db, sql.c_str(), -1, &s_, nullptr));
  }
  ~Statement() { sqlite3_finalize(s_); }
  Statement(const Statement &) = delete;
  Statement &operator=(const Statement &) = delete;

  void bind(const std::string &text) {
    check(sqlite3_bind_text(s_, ++at_, text.c_str(), -1, SQLITE_TRANSIENT));
  }
  void bind(const double x) {
    check(std::isfinite(x) ? sqlite3_bind_double(s_, ++at_, x) : sqlite3_bind_null(s_, ++at_));
  }
  void bind(const std::size_t n) { check(sqlite3_bind_int64(s_, ++at_, n)); }
  /// True while there is a row.
  bool step() {
    const int code = sqlite3_step(s_);
    if (code != SQLITE_ROW && code != SQLITE_DONE)
      give_up(path_, db_, sqlite3_extended_errcode(db_));
    return code == SQLITE_ROW;
  }
  void again() {
    sqlite3_reset(s_);
    at_ = 0;
  }
  std::string text(const int column) const {
    const unsigned char *words = sqlite3_column_text(s_, column);
    return words ? reinterpret_cast<const char *>(words) : "";
  }
  double number(const int column) const {
    return sqlite3_column_type(s_, column) == SQLITE_NULL ? std::nan("") : sqlite3_column_double(s_, column);
  }
  std::size_t whole(const int column) const { return sqlite3_column_int64(s_, column); }
  int columns() const { return sqlite3_column_count(s_); }
  std::string name(const int column) const { return sqlite3_column_name(s_, column); }
  bool is_text(const int column) const { return sqlite3_column_type(s_, column) == SQLITE_TEXT; }

private:
  void check(const int code) {
    if (code != SQLITE_OK)
      give_up(path_, db_, code);
  }

  std::string path_;
  sqlite3 *db_;
  sqlite3_stmt *s_ = nullptr;
  int at_ = 0;
};

} // namespace raybend
