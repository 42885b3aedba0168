// The folder of results: whole or not at all, and nobody else's files.
#include "postprocess/file_write.hpp"
#include "postprocess/output_folder.hpp"
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <unistd.h>

using namespace raybend;
namespace fs = std::filesystem;

namespace {

struct Scratch {
  fs::path path = fs::temp_directory_path() / ("raybend-output-" + std::to_string(::getpid()));
  Scratch() {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~Scratch() { fs::remove_all(path); }
  std::string at(const std::string &name) const { return (path / name).string(); }
  long entries() const { return std::distance(fs::directory_iterator(path), fs::directory_iterator()); }
};

std::string content(const std::string &path) {
  std::ifstream file(path);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

} // namespace

TEST_CASE("results appear only when committed", "[output]") {
  const Scratch scratch;
  {
    OutputFolder out(scratch.at("results"));
    out.write("a.txt", "one");
    out.write("deep/b.txt", "two");
    CHECK_FALSE(fs::exists(scratch.at("results")));
    out.commit();
  }
  CHECK(content(scratch.at("results/a.txt")) == "one");
  CHECK(content(scratch.at("results/deep/b.txt")) == "two");
  CHECK(content(scratch.at("results/") + OutputFolder::list_name) == "a.txt\ndeep/b.txt\n");
  CHECK(scratch.entries() == 1);
}

TEST_CASE("older results stay whole until the new ones are", "[output]") {
  const Scratch scratch;
  {
    OutputFolder out(scratch.at("results"));
    out.write("old.txt", "old");
    out.commit();
  }
  {
    OutputFolder out(scratch.at("results"));
    out.write("new.txt", "new");
    // not committed: the run failed
  }
  CHECK(content(scratch.at("results/old.txt")) == "old");
  CHECK_FALSE(fs::exists(scratch.at("results/new.txt")));
  CHECK(scratch.entries() == 1);
  {
    OutputFolder out(scratch.at("results/")); // a slash at the end is the same folder
    out.write("new.txt", "new");
    out.commit();
  }
  CHECK(content(scratch.at("results/new.txt")) == "new");
  CHECK_FALSE(fs::exists(scratch.at("results/old.txt")));
  CHECK(scratch.entries() == 1);
}

TEST_CASE("folders and files of other people are left alone", "[output]") {
  const Scratch scratch;
  fs::create_directory(scratch.at("mine"));
  write_file(scratch.at("mine/letter.txt"), "dear");
  CHECK_THROWS_WITH(OutputFolder(scratch.at("mine")), Catch::Contains("letter.txt"));
  CHECK_THROWS_WITH(OutputFolder(scratch.at("mine/letter.txt")), Catch::Contains("is a file"));
  CHECK_THROWS_AS(OutputFolder("/"), std::runtime_error);
  CHECK_THROWS_AS(OutputFolder(""), std::runtime_error);
  CHECK(content(scratch.at("mine/letter.txt")) == "dear");

  {
    OutputFolder out(scratch.at("results"));
    out.write("a.txt", "one");
    out.commit();
  }
  OutputFolder again(scratch.at("results"));
  again.write("a.txt", "two");
  write_file(scratch.at("results/note.txt"), "written while the run went on");
  CHECK_THROWS_WITH(again.commit(), Catch::Contains("note.txt"));
  CHECK(content(scratch.at("results/a.txt")) == "one");
}

TEST_CASE("an empty folder and a link to one can be used", "[output]") {
  const Scratch scratch;
  fs::create_directory(scratch.at("empty"));
  fs::create_directory_symlink(scratch.at("empty"), scratch.at("link"));
  OutputFolder out(scratch.at("link"));
  out.write("a.txt", "one");
  out.commit();
  CHECK(fs::is_symlink(scratch.at("link")));
  CHECK(content(scratch.at("empty/a.txt")) == "one");
}

TEST_CASE("a full disk is said in words", "[output]") {
  if (!fs::exists("/dev/full")) {
    WARN("no /dev/full here: not tested");
    return;
  }
  CHECK_THROWS_WITH(write_file("/dev/full", "text"), Catch::Contains("disk is full"));
  CHECK(fs::exists("/dev/full"));
  CHECK_THROWS_WITH(write_file("/nowhere-at-all/file", "text"), Catch::Contains("could not write"));
}
