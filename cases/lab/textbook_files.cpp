// The files of textbook cases: where they are, and a body made from one.
#include "cases/lab/textbook_files.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/lab/beam/beam_body.hpp"
#include "cases/lab/general_body.hpp"
#include "cases/lab/unused_names.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cctype>
#include <filesystem>
#include <stdexcept>

namespace raybend {

namespace fs = std::filesystem;

namespace {

/// Letters compared as lower case, runs of digits as numbers.
bool before(const std::string &a, const std::string &b) {
  const auto digit = [](char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; };
  const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
  std::size_t i = 0, j = 0;
  while (i < a.size() && j < b.size()) {
    if (digit(a[i]) && digit(b[j])) {
      std::size_t ie = i, je = j;
      while (ie < a.size() && digit(a[ie]))
        ++ie;
      while (je < b.size() && digit(b[je]))
        ++je;
      const long n = std::stol(a.substr(i, std::min<std::size_t>(ie - i, 9))),
                 m = std::stol(b.substr(j, std::min<std::size_t>(je - j, 9)));
      if (n != m)
        return n < m;
      i = ie;
      j = je;
    } else {
      if (lower(a[i]) != lower(b[j]))
        return lower(a[i]) < lower(b[j]);
      ++i;
      ++j;
    }
  }
  return a.size() - i < b.size() - j;
}

std::vector<std::string> toml_files_in(const std::string &folder) {
  std::vector<std::string> paths;
  std::error_code error; // a folder that is not there has none
  for (const auto &entry : fs::directory_iterator(folder, error))
    if (entry.path().extension() == ".toml")
      paths.push_back(entry.path().string());
  return paths;
}

std::string lower_case(std::string text) {
  for (char &c : text)
    c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// The kind of body a file describes decides which reader takes it.
std::unique_ptr<TextbookBody> make_body(const toml::table &root, KeyTable &top, GeneralCase &c,
                                        ReadingLog &log) {
  if (root.contains("beam")) { // the reader of beam files takes it
    top.table("beam");
    top.tables("quantity");
    top.refuse_unknown();
    return make_beam_body(log, root, c.known, c.source);
  }
  read_general_case(top, c);
  warn_of_unused(log, root, c);
  if (!log.faults.empty())
    return nullptr;
  return make_general_body(c, log);
}

} // namespace

std::string folder_with_cases(const std::vector<std::string> &folders) {
  for (const std::string &folder : folders)
    if (!toml_files_in(folder).empty())
      return folder;
  throw std::runtime_error("the ready cases were not found; looked in " + list_text(folders));
}

std::vector<std::string> ready_cases(const std::string &room) {
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error).parent_path();
  std::vector<std::string> folders;
  for (const fs::path &cases :
       {program / "../cases", program / "../share/raybend/cases", fs::path(RAYBEND_CASES_DIR)})
    folders.push_back((cases / room).lexically_normal().string());
  std::vector<std::string> paths = toml_files_in(folder_with_cases(folders));
  std::sort(paths.begin(), paths.end(),
            [](const std::string &a, const std::string &b) { return before(case_name(a), case_name(b)); });
  return paths;
}

std::string case_name(const std::string &path) {
  return fs::path(path).stem().string();
}

std::string case_list(const std::string &room) {
  std::string text;
  for (const std::string &path : ready_cases(room))
    text += padded(case_name(path) + " ", 34) + case_title(path) + "\n";
  return text;
}

std::string find_case(const std::string &name, const std::string &room) {
  if (fs::path(name).extension() == ".toml")
    return name;
  std::vector<std::string> known;
  std::string begins;
  unsigned matches = 0;
  for (const std::string &path : ready_cases(room)) {
    known.push_back(case_name(path));
    const std::string small = lower_case(known.back()), wanted = lower_case(name);
    if (small == wanted)
      return path;
    if (small.substr(0, small.find('-')) == wanted) {
      ++matches;
      begins = path;
    }
  }
  if (matches == 1)
    return begins;
  const std::string command = room == "validation" ? "validate" : room,
                    list = "raybend " + command + " --list";
  Fault f;
  f.file = command;
  f.problem = matches > 1 ? "several cases begin so; see " + list : "no such case";
  f.found = "\"" + printable(name) + "\"";
  f.nearest = nearest_name(name, known);
  if (f.nearest.empty() && matches == 0) {
    f.allowed = "a name of " + list + ", or a file ending in .toml";
    // A name is often given without the words behind its number.
    for (const std::string &k : known)
      if (f.nearest.empty() && edit_distance(lower_case(k.substr(0, k.find('-'))), lower_case(name)) <= 1)
        f.nearest = k;
  }
  throw CaseError({f});
}

std::string case_title(const std::string &path) {
  const toml::table table = parse_toml(read_case_text(path), path);
  return table["title"].value_or(std::string("(no title)"));
}

LoadedCase load_case(const std::string &path) {
  const toml::table table = parse_toml(read_case_text(path), path);
  ReadingLog log;
  log.file = path;
  KeyTable top(log, &table, "");
  GeneralCase c;
  c.path = path;
  c.name = case_name(path);
  read_case_head(top, c);
  LoadedCase loaded;
  loaded.body = make_body(table, top, c, log);
  log.end_if_faulty();
  loaded.name = c.name;
  loaded.title = c.title;
  loaded.source = c.source;
  loaded.path = path;
  loaded.levels = c.levels;
  loaded.cost = c.cost;
  loaded.warnings = log.warnings;
  return loaded;
}

} // namespace raybend
