// Results in SQLite: schema, identity, rows, the tidy table.
#include "cases/study/store.hpp"
#include "cases/study/sqlite_statement.hpp"
#include "geometry/version.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <stdexcept>
#include <thread>
#include <unistd.h>

namespace raybend {

namespace {

constexpr int application_id = 0x52425354; // "RBST", in the file's head
constexpr const char *schema_version = "1";
constexpr int busy_ms = 3000,
              patient_ms = 600000; // for another program's lock: at first, and with a result at hand

std::string identifier(const std::string &name) {
  return "\"" + name + "\"";
}

/// FNV-1a of 64 bits, the same everywhere.
std::string fingerprint(const std::string &text) {
  std::uint64_t h = 14695981039346656037ull;
  for (const unsigned char c : text)
    h = (h ^ c) * 1099511628211ull;
  char words[20];
  std::snprintf(words, sizeof words, "%016llx", static_cast<unsigned long long>(h));
  return words;
}

void bind_run(Statement &s, const RunName &run) {
  s.bind(run.point);
  s.bind(run.activity);
  s.bind(run.design);
}

/// The first three columns.
RunName run_of(const Statement &s) {
  return {s.whole(0), s.text(1), s.text(2)};
}

} // namespace

struct StudyStore::Parts {
  std::string path;
  Side side = Side::right;
  std::vector<Varied> inputs;
  sqlite3 *db = nullptr;
  int lock = -1;
  std::vector<std::pair<std::string, std::string>> identity; ///< names and values of the table `study`

  ~Parts() {
    sqlite3_close(db);
    if (lock >= 0)
      close(lock); // last: closing a descriptor of the file drops SQLite's own locks
  }

  void run(const std::string &sql) const {
    if (sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK)
      give_up(path, db, sqlite3_extended_errcode(db));
  }
  Statement ask(const std::string &sql) const { return {path, db, sql}; }

  /// One writer at a time, over the whole run. The lock belongs to the open file: SQLite, whose own locks belong to the
  /// process, cannot let go of it, and the kernel does once this process and its workers have ended, however they do. The
  /// byte lies beyond those that SQLite locks.
  void take_lock() {
    lock = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
    if (lock < 0)
      throw refusal(path, std::string("the store cannot be written (") + std::strerror(errno) + ")");
    struct flock byte = {};
    byte.l_type = F_WRLCK;
    byte.l_whence = SEEK_SET;
    byte.l_start = 0x7fffff00;
    byte.l_len = 1;
    constexpr int step_ms = 50;
    for (int waited = 0; fcntl(lock, F_OFD_SETLK, &byte) != 0;
         waited += step_ms) { // workers of a killed run end
      if (waited >= busy_ms)
        throw refusal(path,
                      "another run of this study writes to this store; wait for it, or name another one "
                      "with --store");
      std::this_thread::sleep_for(std::chrono::milliseconds(step_ms));
    }
  }

  /// Throws CaseError if the open file does not belong to this study.
  void check_identity(const std::string &schema) const {
    for (const auto &[name, value] : identity) {
      Statement s = ask("SELECT value FROM " + schema + ".study WHERE name = ?");
      s.bind(name);
      const std::string there = s.step() ? s.text(0) : "";
      if (there == value)
        continue;
      if (name == "program")
        throw refusal(path, "the store was filled by version " + there + " of the program, this is " + value +
                                "; results of two versions are not mixed: name another one with --store");
      throw refusal(path, "the store belongs to another study: its " + name +
                              " differs; name another one with --store, or take this file away");
    }
  }

  void make(const Study &study, const std::vector<StudyPoint> &points) const {
    std::string inputs, outputs, tidy_inputs, tidy_outputs;
    for (const Varied &v : study.inputs) {
      inputs += ", " + identifier(v.name) + (v.marginal.is_number() ? " REAL" : " TEXT");
      tidy_inputs += ", point." + identifier(v.name);
    }
    for (const std::string &name : output_columns()) {
      outputs += ", " + identifier(name) + " REAL";
      tidy_outputs += ", ray." + identifier(name);
    }
    const std::string run = "point INTEGER, activity TEXT, design TEXT";
    Parts::run("CREATE TABLE study (name TEXT PRIMARY KEY, value TEXT);"
               "CREATE TABLE point (point INTEGER PRIMARY KEY" +
               inputs +
               ");"
               "CREATE TABLE run (" +
               run +
               ", status TEXT, reason TEXT, seconds REAL,"
               " PRIMARY KEY (point, activity, design)) WITHOUT ROWID;"
               "CREATE TABLE ray (" +
               run + ", ray INTEGER" + outputs +
               ", PRIMARY KEY (point, activity, design, ray)) WITHOUT ROWID;"
               "CREATE VIEW tidy AS SELECT point.point AS point" +
               tidy_inputs +
               ", run.activity AS activity, run.design AS design, run.status AS status, run.reason AS reason,"
               " run.seconds AS seconds, ray.ray AS ray" +
               tidy_outputs +
               " FROM run JOIN point USING (point) JOIN ray USING (point, activity, design);"
               "PRAGMA application_id = " +
               std::to_string(application_id));
    Statement name = ask("INSERT INTO study VALUES (?, ?)");
    for (const auto &[key, value] : identity) {
      name.again();
      name.bind(key);
      name.bind(value);
      name.step();
    }
    write_points(points, 1);
  }

  void write_points(const std::vector<StudyPoint> &points, const std::size_t first) const {
    std::string places = "?";
    for (std::size_t i = 0; i < inputs.size(); ++i)
      places += ", ?";
    Statement row = ask("INSERT INTO point VALUES (" + places + ")");
    for (std::size_t i = 0; i < points.size(); ++i) {
      row.again();
      row.bind(first + i);
      for (std::size_t j = 0; j < points[i].size(); ++j) {
        const Marginal &m = inputs[j].marginal;
        if (m.is_number())
          row.bind(points[i][j]);
        else
          row.bind(m.text(points[i][j]));
      }
      row.step();
    }
  }
};

StudyStore::StudyStore(const std::string &path, const Study &study, const std::vector<StudyPoint> &points,
                       const Side side)
    : parts_(std::make_unique<Parts>()) {
  Parts &p = *parts_;
  p.path = path;
  p.side = side;
  p.inputs = study.inputs;
  std::string plan, changes;
  for (const Varied &v : study.inputs) {
    plan += v.name;
    for (const std::string &key : v.keys)
      plan += " " + key;
  }
  for (const StudyPoint &point : points)
    for (std::size_t j = 0; j < point.size(); ++j)
      plan += " " + study.inputs[j].marginal.text(point[j]);
  for (const std::string &set : study.sets)
    changes += set + "\n";
  std::string designs;
  for (const std::string &d : study.designs)
    designs += d + " ";
  p.identity = {
      {"schema", schema_version},    {"program", raybend_version}, {"case", fingerprint(study.case_text)},
      {"set", fingerprint(changes)}, {"list of designs", designs}, {"plan", fingerprint(plan)}};
  p.take_lock();
  if (sqlite3_open_v2(path.c_str(), &p.db, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK)
    give_up(path, p.db, sqlite3_extended_errcode(p.db));
  sqlite3_busy_timeout(p.db, busy_ms);
  const auto whole = [&](const std::string &sql) {
    Statement s = p.ask(sql);
    s.step();
    return s.whole(0);
  };
  const bool own = whole("PRAGMA application_id") == application_id;
  if (!own && whole("SELECT count(*) FROM sqlite_master") > 0)
    throw refusal(path, "is not a study's store");
  if (own) {
    p.check_identity("main");
    Statement check = p.ask("PRAGMA quick_check(1)");
    if (check.step() && check.text(0) != "ok")
      throw refusal(path,
                    "the store is damaged (" + one_line(check.text(0)) +
                        "); keep it aside, or take out of it what can be read with the sqlite3 program");
  } else {
    p.run("BEGIN IMMEDIATE");
    p.make(study, points);
    p.run("COMMIT");
  }
  p.run(
      "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; BEGIN IMMEDIATE; COMMIT"); // it can be written
  sqlite3_busy_timeout(p.db, patient_ms);
}

StudyStore::~StudyStore() = default;

std::set<RunName> StudyStore::runs() {
  std::set<RunName> names;
  for (Statement s = parts_->ask("SELECT point, activity, design FROM run"); s.step();)
    names.insert(run_of(s));
  return names;
}

void StudyStore::add(const std::vector<RunRow> &rows) {
  std::string places = "?, ?, ?, ?";
  for (std::size_t i = 0; i < output_columns().size(); ++i)
    places += ", ?";
  Statement run = parts_->ask("INSERT OR IGNORE INTO run VALUES (?, ?, ?, ?, ?, ?)"),
            ray = parts_->ask("INSERT OR IGNORE INTO ray VALUES (" + places + ")");
  parts_->run("BEGIN IMMEDIATE");
  try {
    for (const RunRow &row : rows) {
      run.again();
      bind_run(run, row.run);
      run.bind(row.status);
      run.bind(one_line(row.reason));
      run.bind(row.seconds);
      run.step();
      for (std::size_t r = 1; r <= 5; ++r) {
        ray.again();
        bind_run(ray, row.run);
        ray.bind(r);
        const bool done = row.status == "done";
        for (const double x : output_values(row.result, r, parts_->side))
          ray.bind(done ? x : std::nan(""));
        ray.step();
      }
    }
    run.again(); // nothing open at the commit
    ray.again();
    parts_->run("COMMIT");
  } catch (...) {
    sqlite3_exec(parts_->db, "ROLLBACK", nullptr, nullptr, nullptr);
    throw;
  }
}

std::size_t StudyStore::merge(const std::string &path) {
  if (!std::filesystem::exists(path))
    throw refusal(path, "no such store");
  const auto count = [&] {
    Statement s = parts_->ask("SELECT count(*) FROM run");
    s.step();
    return s.whole(0);
  };
  const std::size_t before = count();
  const std::string own = parts_->path;
  parts_->path = path; // messages name the other file
  {
    Statement attach = parts_->ask("ATTACH ? AS other");
    attach.bind(path);
    attach.step();
  }
  {
    Statement id = parts_->ask("PRAGMA other.application_id");
    if (!id.step() || id.whole(0) != application_id)
      throw refusal(path, "is not a study's store");
  }
  parts_->check_identity("other");
  parts_->run("BEGIN IMMEDIATE; INSERT OR IGNORE INTO main.run SELECT * FROM other.run;"
              "INSERT OR IGNORE INTO main.ray SELECT * FROM other.ray; COMMIT; DETACH other");
  parts_->path = own;
  return count() - before;
}

void StudyStore::forget_failed() {
  parts_->run("BEGIN IMMEDIATE; DELETE FROM ray WHERE (point, activity, design) IN"
              " (SELECT point, activity, design FROM run WHERE status = 'failed');"
              "DELETE FROM run WHERE status = 'failed'; COMMIT");
}

namespace {
const std::string batch_mark =
    "points of "; // before a batch's name in the table `study`; its value: first and last point
} // namespace

std::vector<StudyStore::Batch> StudyStore::batches() {
  std::vector<std::pair<std::string, std::pair<std::size_t, std::size_t>>> found;
  {
    Statement s = parts_->ask("SELECT name, value FROM study WHERE name LIKE ? ORDER BY rowid");
    s.bind(batch_mark + "%");
    while (s.step()) {
      const std::string value = s.text(1);
      const std::size_t gap = value.find(' ');
      found.push_back({s.text(0).substr(batch_mark.size()),
                       {std::stoul(value.substr(0, gap)), std::stoul(value.substr(gap + 1))}});
    }
  }
  std::vector<Batch> list;
  for (const auto &[name, range] : found) {
    Batch batch{name, {}};
    Statement s = parts_->ask("SELECT * FROM point WHERE point BETWEEN ? AND ? ORDER BY point");
    s.bind(range.first);
    s.bind(range.second);
    while (s.step()) {
      StudyPoint point;
      for (std::size_t j = 0; j < parts_->inputs.size(); ++j) {
        const std::vector<std::string> &words = parts_->inputs[j].marginal.words;
        const int column = static_cast<int>(j) + 1;
        point.push_back(words.empty()
                            ? s.number(column)
                            : std::find(words.begin(), words.end(), s.text(column)) - words.begin());
      }
      batch.points.push_back(point);
    }
    list.push_back(batch);
  }
  return list;
}

void StudyStore::add_points(const Batch &batch) {
  std::size_t last = 0;
  {
    Statement s = parts_->ask("SELECT max(point) FROM point");
    if (s.step())
      last = s.whole(0);
  }
  parts_->run("BEGIN IMMEDIATE");
  try {
    Statement name = parts_->ask("INSERT INTO study VALUES (?, ?)");
    name.bind(batch_mark + batch.name);
    name.bind(std::to_string(last + 1) + " " + std::to_string(last + batch.points.size()));
    name.step();
    name.again(); // nothing open at the commit
    parts_->write_points(batch.points, last + 1);
    parts_->run("COMMIT");
  } catch (...) {
    sqlite3_exec(parts_->db, "ROLLBACK", nullptr, nullptr, nullptr);
    throw;
  }
}

std::string StudyStore::csv() {
  Statement s = parts_->ask("SELECT * FROM tidy ORDER BY point, activity, design, ray");
  std::string text;
  for (int c = 0; c < s.columns(); ++c)
    text += (c > 0 ? "," : "") + (s.name(c) == "seconds" ? "solve_s" : s.name(c));
  text += "\n";
  while (s.step()) {
    for (int c = 0; c < s.columns(); ++c)
      text += (c > 0 ? "," : "") + (s.is_text(c) ? csv_text(s.text(c)) : csv_number(s.number(c)));
    text += "\n";
  }
  return text;
}

std::vector<StudyStore::Value> StudyStore::values(const int ray, const std::vector<std::string> &outputs) {
  std::string columns;
  for (const std::string &name : outputs)
    columns += ", ray." + identifier(name);
  Statement s = parts_->ask("SELECT point, activity, design" + columns +
                            " FROM run JOIN ray USING (point, activity, design)"
                            " WHERE status = 'done' AND ray = ? ORDER BY point, activity, design");
  s.bind(static_cast<std::size_t>(ray));
  std::vector<Value> values;
  while (s.step()) {
    values.push_back({run_of(s), {}});
    for (std::size_t i = 0; i < outputs.size(); ++i)
      values.back().outputs.push_back(s.number(3 + i));
  }
  return values;
}

std::vector<std::pair<std::string, std::size_t>> StudyStore::statuses() {
  std::vector<std::pair<std::string, std::size_t>> list;
  for (Statement s = parts_->ask("SELECT status, count(*) FROM run GROUP BY status ORDER BY status");
       s.step();)
    list.emplace_back(s.text(0), s.whole(1));
  return list;
}

std::vector<std::pair<RunName, std::string>> StudyStore::reasons(const std::size_t most) {
  std::vector<std::pair<RunName, std::string>> list;
  Statement s = parts_->ask("SELECT point, activity, design, reason FROM run WHERE status <> 'done'"
                            " ORDER BY point, activity, design LIMIT ?");
  s.bind(most);
  while (s.step())
    list.emplace_back(run_of(s), s.text(3));
  return list;
}

} // namespace raybend
