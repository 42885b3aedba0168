// The folder of results: whole or not at all, and nobody else's files.
#include "postprocess/files/output_folder.hpp"
#include "postprocess/text/file_write.hpp"
#include "tests/scratch.hpp"
#include <catch2/catch.hpp>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sys/wait.h>
#include <unistd.h>

using namespace raybend;
namespace fs = std::filesystem;

namespace {

/// A file or folder in the scratch folder.
std::string at(const Scratch &scratch, const std::string &name) {
  return (scratch.path / name).string();
}

/// Number of entries in the scratch folder.
long entries(const Scratch &scratch) {
  return std::distance(fs::directory_iterator(scratch.path), fs::directory_iterator());
}

std::string content(const std::string &path) {
  std::ifstream file(path);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

} // namespace

TEST_CASE("results appear only when committed", "[output]") {
  const Scratch scratch;
  {
    OutputFolder out(at(scratch, "results"));
    out.write("a.txt", "one");
    out.write("deep/b.txt", "two");
    CHECK_FALSE(fs::exists(at(scratch, "results")));
    out.commit();
  }
  CHECK(content(at(scratch, "results/a.txt")) == "one");
  CHECK(content(at(scratch, "results/deep/b.txt")) == "two");
  CHECK(content(at(scratch, "results/") + OutputFolder::list_name) == "a.txt\ndeep/b.txt\n");
  CHECK(entries(scratch) == 1);
}

TEST_CASE("older results stay whole until the new ones are", "[output]") {
  const Scratch scratch;
  {
    OutputFolder out(at(scratch, "results"));
    out.write("old.txt", "old");
    out.commit();
  }
  {
    OutputFolder out(at(scratch, "results"));
    out.write("new.txt", "new");
    // not committed: the run failed
  }
  CHECK(content(at(scratch, "results/old.txt")) == "old");
  CHECK_FALSE(fs::exists(at(scratch, "results/new.txt")));
  CHECK(entries(scratch) == 1);
  {
    OutputFolder out(at(scratch, "results/")); // a slash at the end is the same folder
    out.write("new.txt", "new");
    out.commit();
  }
  CHECK(content(at(scratch, "results/new.txt")) == "new");
  CHECK_FALSE(fs::exists(at(scratch, "results/old.txt")));
  CHECK(entries(scratch) == 1);
}

TEST_CASE("folders and files of other people are left alone", "[output]") {
  const Scratch scratch;
  fs::create_directory(at(scratch, "mine"));
  write_file(at(scratch, "mine/letter.txt"), "dear");
  CHECK_THROWS_WITH(OutputFolder(at(scratch, "mine")), Catch::Contains("letter.txt"));
  CHECK_THROWS_WITH(OutputFolder(at(scratch, "mine/letter.txt")), Catch::Contains("is a file"));
  CHECK_THROWS_AS(OutputFolder("/"), std::runtime_error);
  CHECK_THROWS_AS(OutputFolder(""), std::runtime_error);
  CHECK(content(at(scratch, "mine/letter.txt")) == "dear");

  {
    OutputFolder out(at(scratch, "results"));
    out.write("a.txt", "one");
    out.commit();
  }
  OutputFolder again(at(scratch, "results"));
  again.write("a.txt", "two");
  write_file(at(scratch, "results/note.txt"), "written while the run went on");
  CHECK_THROWS_WITH(again.commit(), Catch::Contains("note.txt"));
  CHECK(content(at(scratch, "results/a.txt")) == "one");
}

TEST_CASE("an empty folder and a link to one can be used", "[output]") {
  const Scratch scratch;
  fs::create_directory(at(scratch, "empty"));
  fs::create_directory_symlink(at(scratch, "empty"), at(scratch, "link"));
  OutputFolder out(at(scratch, "link"));
  out.write("a.txt", "one");
  out.commit();
  CHECK(fs::is_symlink(at(scratch, "link")));
  CHECK(content(at(scratch, "empty/a.txt")) == "one");
}

TEST_CASE("a signal that ends the program takes the unfinished folder away", "[output]") {
  const Scratch scratch;
  for (const int signal : {SIGTERM, SIGINT, SIGHUP}) {
    const pid_t child = fork();
    if (child == 0) {
      std::signal(signal, SIG_DFL); // Catch handles some
      OutputFolder out(at(scratch, "results"));
      out.write("a.txt", "one");
      out.write("deep/er/b.txt", "two");
      raise(signal);
      _exit(0);
    }
    int status = 0;
    REQUIRE(waitpid(child, &status, 0) == child);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == signal);
    CHECK(entries(scratch) == 0);
  }
  // what the caller ignores stays ignored, and afterwards all is as it was
  const auto before = std::signal(SIGHUP, SIG_IGN);
  {
    OutputFolder out(at(scratch, "results"));
    raise(SIGHUP);
    CHECK(entries(scratch) == 1);
  }
  CHECK(std::signal(SIGHUP, before) == SIG_IGN);
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
