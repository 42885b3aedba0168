// Files of the sources, the refusal of wrong case files, and the message that their first lines expect.
#pragma once
#include "cases/casefile/case_error.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
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

/// What a wrong file's message must hold, and the line that it must name.
struct ExpectedRefusal {
  std::string message, line;
};
inline ExpectedRefusal expected_refusal(const std::filesystem::path &file) {
  std::ifstream text(file);
  const auto after = [&text](const std::string &mark) {
    std::string line;
    std::getline(text, line);
    REQUIRE(line.compare(0, mark.size(), mark) == 0);
    return line.substr(mark.size());
  };
  const std::string message = after("# expect: ");
  return {message, after("# expect-line: ")};
}

} // namespace raybend
