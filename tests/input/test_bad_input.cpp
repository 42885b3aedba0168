// Wrong case files: each must be refused with a message that names file, line and key.
// The messages of bad_cases/*.edits are whole ones, those of this file the part that counts.
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/lab/beam/beam_reader.hpp"
#include "tests/case_files.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <iterator>
#include <random>
#include <unistd.h>

namespace fs = std::filesystem;
using namespace raybend;
using Catch::Matchers::Contains;
using Catch::Matchers::EndsWith;

namespace {

/// The message of the refusal, "" if the case is taken.
std::string refusal(const std::string &path, const std::vector<std::string> &sets = {}) {
  return refusal_of([&] { read_case(path, sets); });
}

const std::string ready = source_path("cases/standing.toml");

} // namespace

TEST_CASE("every wrong case file is refused with file, line and key", "[cases][bad-input]") {
  const std::vector<WrongFile> files = wrong_files("tests/input/bad_cases");
  REQUIRE(files.size() >= 180);
  CHECK(refusal(source_path("tests/input/bad_cases/base.toml")) == "");
  for (const WrongFile &file : files) {
    INFO(file.name);
    // the whole message: nothing else was wrong with it
    CHECK(first_line(refusal_of([&] { read_case_from_text(file.text, "wrong.toml"); }), file) ==
          "wrong.toml:" + file.line + ": " + file.message);
  }
}

TEST_CASE("all faults are told at once, in the order of the file", "[cases][bad-input]") {
  const Scratch scratch;
  const std::string path =
      scratch.file("three.toml", "[patient]\nbody_mass_kg = 5\nfoot_length_mm = 260\nside = \"up\"\n"
                                 "sex = \"male\"\npainful_ray = 0\n");
  try {
    read_case(path);
    FAIL("the case was taken");
  } catch (const CaseError &error) {
    REQUIRE(error.faults().size() == 4); // mass, side, ray, no designs
    std::vector<std::string> keys;
    for (const Fault &f : error.faults())
      keys.push_back(f.key);
    CHECK(keys ==
          std::vector<std::string>{"designs", "patient.body_mass_kg", "patient.side", "patient.painful_ray"});
  }
}

TEST_CASE("more designs than a comparison takes", "[cases][bad-input]") {
  std::string text = "[patient]\nbody_mass_kg = 70\nfoot_length_mm = 260\nside = \"left\"\nsex = \"female\"\n"
                     "painful_ray = 2\n";
  for (int i = 0; i < 13; ++i)
    text += "[[designs]]\nname = \"d" + std::to_string(i) +
            "\"\nlayers = [{ role = \"base\", thickness_mm = 5, material = \"eva-35\" },"
            "{ role = \"cover\", thickness_mm = 3, material = \"open-cell-pu\" }]\n";
  CHECK(refusal_of([&] { read_case_from_text(text, "many.toml"); }) ==
        "many.toml:7: designs: too many designs; found 13; allowed 2 to 12");
}

TEST_CASE("files that are no case files", "[cases][bad-input]") {
  const Scratch scratch;
  SECTION("missing") {
    CHECK_THAT(refusal((scratch.path / "none.toml").string()), Contains("No such file"));
  }
  SECTION("no name") {
    CHECK_THAT(refusal(""), Contains("no case file named"));
  }
  SECTION("directory") {
    CHECK_THAT(refusal(scratch.path.string()), Contains("is a directory"));
  }
  SECTION("device") {
    CHECK_THAT(refusal("/dev/zero"), Contains("not a plain file"));
  }
  SECTION("dangling link") {
    fs::create_symlink(scratch.path / "gone", scratch.path / "link.toml");
    CHECK_THAT(refusal((scratch.path / "link.toml").string()), Contains("cannot read the case file"));
  }
  SECTION("unreadable, even for root") {
    CHECK_THAT(refusal("/proc/self/mem"), Contains("cannot read the case file"));
  }
  SECTION("not UTF-8") {
    CHECK_THAT(refusal(scratch.file("latin1.toml", "# a\n# b\ntitle = \"Fu\xdf\"\n")),
               EndsWith(":3: is not UTF-8 text; found \"title = \"Fu?\"\"; save the file with the encoding "
                        "UTF-8"));
    // bytes that are no characters beside an e with an accent that is one
    CHECK_THAT(refusal(scratch.file("mixed.toml", "  a = \"\xe4\xc3\xa9\xfc\" # b\nc = 1\n")),
               Contains(":1: is not UTF-8 text; found \"a = \"?\xc3\xa9?\" # b\"; save"));
    CHECK_THAT(refusal(scratch.file("zero.toml", std::string("# a\n\0", 5))),
               Contains(":2: is not UTF-8 text; found \"?\"; save"));
  }
  SECTION("a beam file in another encoding") {
    const auto beam_refusal = [](const std::string &path) { return refusal_of([&] { read_beam(path); }); };
    CHECK_THAT(
        beam_refusal(scratch.file("latin1.toml", "title = \"St\xfctze\"\n")),
        EndsWith(":1: is not UTF-8 text; found \"title = \"St?tze\"\"; save the file with the encoding "
                 "UTF-8"));
    CHECK_THAT(beam_refusal(scratch.file("utf16.toml", std::string("\xff\xfet\0", 4))),
               Contains(":1: is UTF-16 text"));
  }
  SECTION("UTF-16, with and without the mark in front, either byte first") {
    const auto text = [](const std::string &mark, const bool high_first) {
      std::string bytes = mark;
      for (const char c : std::string("[patient]\nbody_mass_kg = 70\n"))
        bytes += high_first ? std::string{'\0', c} : std::string{c, '\0'};
      return bytes;
    };
    for (const std::string &bytes :
         {text("\xff\xfe", false), text("\xfe\xff", true), text("", false), text("", true)})
      CHECK_THAT(refusal(scratch.file("utf16.toml", bytes)),
                 EndsWith(":1: is UTF-16 text, not UTF-8; save the file with the encoding UTF-8"));
  }
  SECTION("huge") {
    CHECK_THAT(refusal(scratch.file("huge.toml", std::string(largest_case_file + 1, '#'))),
               Contains("larger than 256 KiB"));
  }
  SECTION("empty") {
    CHECK_THAT(refusal(scratch.file("empty.toml", "")), Contains("missing table [patient]"));
  }
  SECTION("deeply nested") {
    CHECK_THAT(refusal(scratch.file("deep.toml", "a = " + std::string(100000, '['))),
               Contains("deep.toml:1: a: a list stands in square brackets"));
  }
  SECTION("endless key") {
    const std::string message = refusal(scratch.file("long.toml", std::string(100000, 'k') + " = 1\n"));
    CHECK_THAT(message, Contains("unknown key"));
    CHECK(message.size() < 2000);
  }
}

TEST_CASE("files of other commands name their command", "[cases][bad-input]") {
  const std::string folder = std::string(RAYBEND_SOURCE_DIR) + "/cases/";
  for (const fs::path &file : toml_files_in("cases/textbook")) {
    INFO(file.string());
    CHECK(refusal(file.string()) ==
          file.string() + ": is a textbook case, not a forefoot case: use raybend textbook " + file.string());
  }
  const std::string beam = folder + "beam-example.toml";
  CHECK(refusal(beam) == beam + ": is a beam file, not a forefoot case: use raybend beam " + beam);
  const std::string study = folder + "studies/what-matters.toml",
                    best = folder + "studies/best-pad-place.toml";
  CHECK(refusal(study) == study + ": is a study, not a forefoot case: use raybend study " + study);
  CHECK(refusal(best) ==
        best + ": is a file of what is to be chosen, not a forefoot case: use raybend best " + best);
}

TEST_CASE("one slip of the keyboard, one plain message", "[cases][bad-input]") {
  const Scratch scratch;
  // written as a file's only line but one; none may speak the parser's language
  for (const char *line : {"side = right",
                           "side = “right”",
                           "side = \"right",
                           "side = right\"",
                           "side \"right\"",
                           "side : right",
                           "side",
                           "side =",
                           "side == \"right\"",
                           "side = \"right\",",
                           "side = 'right\"",
                           "side = {right}",
                           "side = (right)",
                           "\"side = right",
                           "side right",
                           "= right",
                           "[patient",
                           "patient]",
                           "[[patient]",
                           "[ [patient] ]",
                           "]",
                           "[",
                           "[]",
                           "#side\nside = ",
                           "side = \"right\" sex = \"male\"",
                           "foot_form = [high-arch",
                           "foot_form = [\"a\" \"b\"]",
                           "body_mass_kg = 72 kg",
                           "body_mass_kg = 72.",
                           "body_mass_kg = .5",
                           "body_mass_kg = 072",
                           "body_mass_kg = 7 2",
                           "body_mass_kg = 70 ± 2",
                           "body_mass_kg = 70½",
                           "body_mass_kg = 1/2",
                           "body_mass_kg = ½",
                           "foot_form = (high-arch)",
                           "foot_form = \"a\", \"b\"",
                           "[[designs.layers]]]",
                           "body_mass_kg = 70/2",
                           "body_mass_kg = ~70",
                           "body_mass_kg = 1 000",
                           "body_mass_kg = −70",
                           "body_mass_kg = 70;",
                           "// remark",
                           "; remark",
                           "remark",
                           "side = \"\"\"right",
                           "name = \"C:\\Users\"",
                           "äußere = 1",
                           "side.= 1"}) {
    INFO(line);
    const std::string message = refusal(scratch.file("slip.toml", "[patient]\n" + std::string(line) + "\n"));
    CHECK_THAT(message, Contains("slip.toml:") && !Contains("parsing"));
    CHECK(std::count(message.begin(), message.end(), '\n') <= 2); // the line and a mark below it
  }
}

TEST_CASE("a line that is no TOML is shown with a mark where reading stopped", "[cases][bad-input]") {
  const auto message = [](const std::string &line) {
    return refusal_of([&] { read_case_from_text("[patient]\n" + line + "\n", "f.toml"); });
  };
  CHECK_THAT(message("side = right"), EndsWith("\n    side = right\n           ^"));
  CHECK_THAT(message("\tbody_mass_kg = 61 kg"),
             EndsWith("\n     body_mass_kg = 61 kg\n                       ^"));
  CHECK_THAT(message("# größer\nside = „right“ # größer"),
             EndsWith("\n    side = „right“ # größer\n           ^"));
  CHECK(message(std::string(100000, 'x')).size() < 1000);
  CHECK(message("side = " + std::string(100000, '[')).size() < 1000);
  CHECK(message("side = " + std::string(100000, 'x')).size() < 1000);
  CHECK(message("side = [" + std::string(100000, ',')).size() < 1000);
  CHECK(message(std::string(100000, '=')).size() < 1000);
}

TEST_CASE("files of many faults are refused soon and in few words", "[cases][bad-input]") {
  // lists of tables by the thousand, as copied or broken files have them
  std::string many = "[patient]\nbody_mass_kg = 70\n", keys = many, twice = many;
  for (int i = 0; i < 10000; ++i) {
    many += "[[designs]]\n";
    keys += "key" + std::to_string(i) + " = 1\n";
    twice += "[[designs]]\n[[designs.layers]]\n";
  }
  for (const std::string &text : {many, keys, twice + "[patient]\n", many + "a = = 1\n"}) {
    const std::string message = refusal_of([&] { read_case_from_text(text, "many.toml"); });
    CHECK_THAT(message, Contains("many.toml:"));
    CHECK(std::count(message.begin(), message.end(), '\n') <= 51);
  }
}

/// Files that differ from right ones in a few places, at random: the readers take or refuse each with CaseError. Under
/// the label slow, and with the sanitizers (DEVELOPERS.md); a file that fails is printed.
TEST_CASE("mutated files are taken or refused, nothing else", "[fuzz]") {
  std::vector<std::string> seeds;
  for (const char *folder : {"cases", "cases/textbook", "tests/input/bad_cases", "tests/lab/bad_beams"})
    for (const fs::path &file : toml_files_in(folder))
      seeds.push_back(read_case_text(file.string()));
  const char *const pieces[] = {"[",      "]",           "{",       "}",          "\"",  "'",
                                "\"\"\"", "=",           ".",       ",",          "#",   "\n",
                                "-",      "1e308",       "0x",      "nan",        "±",   "\xe2\x80",
                                "\\u",    "[[designs]]", "kind = ", "2026-01-01", "true"};
  std::mt19937 random(20261129); // always the same files
  const auto below = [&](const std::size_t n) { return static_cast<std::size_t>(random() % n); };
  for (int i = 0; i < 4000; ++i) {
    std::string text = seeds[below(seeds.size())];
    for (std::size_t edits = 1 + below(8); edits > 0 && !text.empty(); --edits) {
      const std::size_t at = below(text.size()), length = std::min(text.size() - at, below(40));
      switch (below(4)) {
      case 0:
        text.erase(at, length);
        break;
      case 1:
        text.insert(at, pieces[below(std::size(pieces))]);
        break;
      case 2:
        text.insert(at, text.substr(below(text.size()), below(200)));
        break;
      default:
        text[at] = static_cast<char>(below(256));
      }
    }
    INFO(text);
    const auto take = [](const auto &read) {
      try {
        read();
      } catch (const CaseError &error) {
        return std::string(error.what()).size() < 100000;
      }
      return true;
    };
    CHECK(take([&] { read_case_from_text(text, "f.toml"); }));
    CHECK(take([&] { read_beam_from_text(text, "f.toml"); }));
  }
}

TEST_CASE("changes by --set are checked like the file", "[cases][bad-input]") {
  const auto message = [](const std::string &set) { return refusal(ready, {set}); };
  CHECK_THAT(message("patient.body_mass_kg=5"),
             Contains("--set: patient.body_mass_kg: out of range; found 5"));
  CHECK_THAT(message("patient.body_mas_kg=70"), Contains("did you mean \"body_mass_kg\"?"));
  CHECK_THAT(message("patiant.side=left"),
             Contains("--set: patiant: unknown key; did you mean \"patient\"?"));
  CHECK_THAT(message("designs[3].fit=1"),
             Contains("no such place in designs; found \"3\"; allowed 1 to 2, or flat, flat-pad"));
  CHECK_THAT(message("designs[0].fit=1"), Contains("no such place in designs"));
  CHECK_THAT(message("designs.nobody.fit=1"), Contains("no such place in designs"));
  CHECK_THAT(message("designs.flat-padd.fit=1"), Contains("did you mean \"flat-pad\"?"));
  CHECK_THAT(message("designs=1"), Contains("names a whole table"));
  CHECK_THAT(message("designs[1]=1"), Contains("names a whole table"));
  CHECK_THAT(message("patient=1"), Contains("names a whole table"));
  CHECK_THAT(message("designs.flat-pad.support=1"),
             Contains("allowed none, which takes all support elements away"));
  CHECK(read_case(ready, {"designs.flat-pad.support=none"}).designs[1].support.empty());
  CHECK(read_case(ready, {"designs[2].support=\"none\""}).designs[1].support.empty());
  CHECK_THAT(message("title.a=1"), Contains("title is not a table"));
  CHECK_THAT(message("title[1]=1"), Contains("title is not a list"));
  CHECK_THAT(message("just words"), Contains("not of the form key=value"));
  CHECK_THAT(message("=1"), Contains("not of the form key=value"));
  CHECK_THAT(message("a..b=1"), Contains("not a key"));
  CHECK_THAT(message("designs[.fit=1"), Contains("not a key"));
  CHECK_THAT(message("mesh.resolution="), Contains("no value"));
  CHECK_THAT(message("patient.body_mass_kg=nan"), Contains("not a finite number"));
  CHECK_THAT(message("patient.body_mass_kg=heavy"), Contains("one number is wanted"));
}
