// The case files that lie in a folder of the sources, each with the refusal that its first lines expect.
#pragma once
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#ifndef RAYBEND_SOURCE_DIR
#define RAYBEND_SOURCE_DIR "."
#endif

namespace raybend {

/// Sorted by name; the folder counts from the top of the sources.
inline std::vector<std::filesystem::path> toml_files_in(const std::string &folder) {
  std::vector<std::filesystem::path> files;
  for (const auto &entry :
       std::filesystem::directory_iterator(std::filesystem::path(RAYBEND_SOURCE_DIR) / folder))
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
