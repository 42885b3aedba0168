// Files of the sources, the refusal of wrong case files, and the message that their first lines expect.
#pragma once
#include "cases/casefile/case_error.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace raybend {

/// A file or folder of the sources; `below` counts from their top.
inline std::string source_path(const std::string &below) {
  return std::string(RAYBEND_SOURCE_DIR) + "/" + below;
}

/// The message with which `read` refuses, "" if it takes what it reads. CaseError alone counts as a refusal.
template <typename Read> std::string refusal_of(Read read) {
  try {
    read();
  } catch (const CaseError &error) {
    return error.what();
  }
  return "";
}

/// Sorted by name; the folder counts from the top of the sources.
inline std::vector<std::filesystem::path> toml_files_in(const std::string &folder) {
  std::vector<std::filesystem::path> files;
  for (const auto &entry : std::filesystem::directory_iterator(source_path(folder)))
    if (entry.path().extension() == ".toml")
      files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

/// A wrong file and the message that it must be refused with, its line and all.
struct WrongFile {
  std::string name, text, line, message;
};

/// The first line of a message of one fault; what follows must be the file's line and a mark below one of its characters, as
/// lines that are no TOML have it.
inline std::string first_line(const std::string &message, const WrongFile &file) {
  const std::size_t end = message.find('\n');
  if (end == std::string::npos || message.compare(end, 5, "\n    ") != 0)
    return message;
  std::istringstream text(file.text);
  std::string line;
  for (int n = std::stoi(file.line); n > 0; --n)
    std::getline(text, line);
  std::replace(line.begin(), line.end(), '\t', ' ');
  const std::string excerpt = message.substr(end), shown = "\n    " + line;
  CHECK(excerpt.compare(0, shown.size(), shown) == 0);
  const std::string mark = excerpt.substr(shown.size());
  CHECK((mark.empty() ||
         (mark.compare(0, 5, "\n    ") == 0 && mark.find_first_not_of(' ', 1) == mark.size() - 1 &&
          mark.back() == '^' && mark.size() <= line.size() + 6)));
  return message.substr(0, end);
}

/// The wrong files of a folder: base.toml, which is right, with the edits of each *.edits file. An edit begins with
/// "== name", ends with "> line: message" and goes through the base from the top: "- " takes the next such line out
/// ("- ..." all that follow), "+ " puts one in, "  " goes on behind the next such line.
inline std::vector<WrongFile> wrong_files(const std::string &folder) {
  const auto lines_of = [](const std::filesystem::path &path) {
    std::ifstream in(path);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);)
      lines.push_back(line);
    return lines;
  };
  const std::vector<std::string> base = lines_of(source_path(folder) + "/base.toml");
  std::vector<WrongFile> files;
  for (const auto &entry : std::filesystem::directory_iterator(source_path(folder))) {
    if (entry.path().extension() != ".edits")
      continue;
    std::vector<std::string> text;
    std::size_t at = 0;
    for (const std::string &line : lines_of(entry.path())) {
      const std::string mark = line.substr(0, 2), words = line.size() > 2 ? line.substr(2) : "";
      INFO(entry.path().filename().string() + ": " + line);
      if (mark == "==") {
        files.push_back({words.substr(1), "", "", ""});
        text = base;
        at = 0;
      } else if (mark == "> ") {
        const std::size_t colon = words.find(": ");
        REQUIRE(colon != std::string::npos);
        files.back().line = words.substr(0, colon);
        files.back().message = words.substr(colon + 2);
        for (const std::string &each : text)
          files.back().text += each + "\n";
      } else if (mark == "+ ") {
        text.insert(text.begin() + at++, words);
      } else if (line == "- ...") {
        text.resize(at);
      } else if (!line.empty()) {
        REQUIRE((mark == "- " || mark == "  "));
        const auto found = std::find(text.begin() + at, text.end(), words);
        REQUIRE(found != text.end());
        at = found - text.begin() + (mark == "  ");
        if (mark == "- ")
          text.erase(found);
      }
    }
  }
  return files;
}

} // namespace raybend
