// A folder for a test's files.
#pragma once
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

namespace raybend {

/// A folder of its own, gone with the object.
struct Scratch {
  std::filesystem::path path;
  Scratch() {
    std::string name = (std::filesystem::temp_directory_path() / "raybend-test-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()));
    path = name;
  }
  ~Scratch() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  std::string file(const std::string &name, const std::string &text) const {
    std::ofstream(path / name, std::ios::binary) << text;
    return (path / name).string();
  }
};

} // namespace raybend
