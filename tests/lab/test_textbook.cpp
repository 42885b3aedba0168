// raybend textbook: the convergence rule, formulas, messages about wrong case files, the command itself.
// Label: fast (10 s).
#include "cases/casefile/case_error.hpp"
#include "cases/lab/formula.hpp"
#include "cases/lab/textbook_files.hpp"
#include "postprocess/lab/convergence.hpp"
#include "postprocess/lab/textbook_tables.hpp"
#include "tests/case_files.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>
#include <sys/wait.h>
#include <unistd.h>

namespace fs = std::filesystem;
using namespace raybend;
using Catch::Matchers::Contains;

namespace {

std::string text_of(const fs::path &path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// A case that is right: a bar pulled by 1 %.
const std::string bar = R"(title = "Bar"
source = "Hooke"
known = "exact"
levels = 2
[parameters]
E = 1000
L = 2
strain = 0.01
[mesh]
[[mesh.block]]
kind = "box"
low = [0, 0, 0]
high = ["L", 1, 1]
cells = [1, 1, 1]
[[mesh.face]]
name = "x0"
where = "xi < 1e-6"
[[mesh.face]]
name = "x1"
where = "xi > L-1e-6"
[[mesh.face]]
name = "y0"
where = "eta < 1e-6"
[[mesh.face]]
name = "z0"
where = "zeta < 1e-6"
[[material]]
law = "elastic"
E = "E"
nu = 0.3
[[support]]
face = "x0"
hold = ["x"]
[[support]]
face = "y0"
hold = ["y"]
[[support]]
face = "z0"
hold = ["z"]
[[traction]]
face = "x1"
value = ["E*strain", 0, 0]
[[quantity]]
name = "elongation"
unit = "mm"
at = ["L", 0.5, 0.5]
value = "ux"
reference = "L*strain"
tolerance_percent = 1e-8
[[curve]]
title = "Displacement"
x_label = "x, mm"
y_label = "displacement, mm"
from = [0, 0, 0]
to = ["L", 0, 0]
value = "ux"
closed_form = "strain*s"
)";

std::string changed(const std::string &from, const std::string &to, std::string text = bar) {
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

std::string refusal(const Scratch &scratch, const std::string &text) {
  return refusal_of([&] { load_case(scratch.file("wrong.toml", text)); });
}

/// `environment`: "env ... " before the program.
int run(const Scratch &scratch, const std::string &arguments, const std::string &environment = "") {
  const std::string command = "cd '" + scratch.path.string() + "' && OPENBLAS_NUM_THREADS=1 " + environment +
                              "'" RAYBEND_BINARY "' " + arguments + " > out.txt 2> err.txt < /dev/null";
  return WEXITSTATUS(std::system(command.c_str()));
}

} // namespace

TEST_CASE("Richardson's value and the grid convergence index", "[textbook]") {
  // Worked numbers of the NASA NPARC tutorial (inputs from memory): p 1.78617, f0 0.97130, GCI 0.1031 and
  // 0.3562 %.
  const Extrapolation e = extrapolate({0.96178, 0.96854, 0.97050}, 2);
  REQUIRE(e.valid);
  CHECK(e.order == Approx(1.78617).epsilon(1e-5));
  CHECK(e.value == Approx(0.97130).epsilon(1e-5));
  CHECK(100 * e.band / 0.97050 == Approx(0.1031).epsilon(1e-3));
  // The coarser pair's index with the same order: Fs |f3 - f2| / (f2 (r^p - 1)).
  CHECK(100 * 1.25 * (0.96854 - 0.96178) / (std::pow(2, e.order) - 1) / 0.96854 ==
        Approx(0.3562).epsilon(1e-3));

  // A sequence made of f0 + c h^p gives both back, whatever the ratio.
  const auto made = [](double h) { return 3.0 - 0.7 * std::pow(h, 3.3); };
  const Extrapolation back = extrapolate({made(9), made(3), made(1)}, 3, 3);
  CHECK(back.order == Approx(3.3).epsilon(1e-10));
  CHECK(back.value == Approx(3.0).epsilon(1e-10));
  // Two grids: the formal order and the factor 3.
  const Extrapolation two = extrapolate({1.0, 1.3}, 2);
  REQUIRE(two.valid);
  CHECK(two.value == Approx(1.4).epsilon(1e-12));
  CHECK(two.band == Approx(0.3).epsilon(1e-12));

  CHECK_THAT(extrapolate({1.0, 1.2, 1.1}, 2).why, Contains("oscillating"));
  CHECK_THAT(extrapolate({1.0, 1.1, 1.3}, 2).why, Contains("do not shrink"));
  CHECK_THAT(extrapolate({1.0, 1.1, 1.1001}, 2).why, Contains("far above"));
  for (const std::vector<double> &bad : {std::vector<double>{1.0}, {1.0, NAN}, {1.0, 1.2, 1.1}})
    CHECK_FALSE(extrapolate(bad, 2).valid);
}

TEST_CASE("text, CSV and JSON of a textbook case extrapolate alike", "[textbook]") {
  TextbookResult r;
  r.name = "exact";
  r.quantities.push_back({"u", "mm", 2, "calc", "Hooke", 1, true, ""});
  for (const double value : {2.0, 2.0 + 3e-13, 2.0 - 4e-13}) // rounding only
    r.levels.push_back({100, 1, {value}});
  CHECK_THAT(textbook_report(r), Contains("Richardson's value 2,"));
  const std::string csv = textbook_csv(r);
  CHECK_THAT(csv, !Contains("nan") && !Contains("inf"));
  // ..., computed, reference, error, order (none), Richardson's value, band, ...
  CHECK(std::regex_search(
      csv, std::regex("\nexact,u,mm,2,100,[0-9.]*,2,[-0-9.e]*,,1.9999999999996,[0-9.e-]*,1,0,")));
  const auto j = nlohmann::json::parse(textbook_json(r));
  CHECK(j["quantities"][0]["richardson"]["value"].get<double>() == Approx(2).epsilon(1e-11));
  CHECK(j["quantities"][0]["richardson"]["order"].is_null());
}

TEST_CASE("Formulas", "[textbook]") {
  CHECK(Formula("2*pi*r^2", {"r"}, {})({3.0}) == Approx(2 * 3.14159265358979 * 9).epsilon(1e-12));
  CHECK(Formula("x < a ? -1 : atan2(y, x)", {"x", "y"}, {{"a", 0.5}})({1.0, 1.0}) ==
        Approx(0.785398163).epsilon(1e-8));
  CHECK(Formula("ln(exp(2))", {}, {})(std::vector<double>()) == Approx(2).epsilon(1e-14));
  const auto message = [](const std::string &text) -> std::string {
    try {
      Formula(text, {"x"}, {{"nu", 0.3}});
    } catch (const FormulaError &error) {
      return error.what();
    }
    return "";
  };
  CHECK_THAT(message("1+nuu"), Contains("nothing is named \"nuu\"") && Contains("place 3"));
  CHECK_THAT(message("sine(x)"), Contains("no function is named \"sine\""));
  CHECK_THAT(message("(x+1"), Contains("bracket"));
  CHECK_THAT(message("x+"), Contains("ends too early"));
  CHECK_THAT(message(""), Contains("empty"));
  CHECK_FALSE(message("1, 2").empty());
  CHECK_FALSE(message("2x").empty());
}

TEST_CASE("Wrong textbook files are refused with file, line and key", "[textbook]") {
  const Scratch scratch;
  CHECK(refusal(scratch, bar).empty());
  struct Row {
    std::string from, to, holds, place; ///< place: text whose line the message names; empty: `from`
    int below = 0;                      ///< that many lines below it
  };
  const Row rows[] = {
      {"nu = 0.3", "nuu = 0.3", "did you mean \"nu\"", ""},
      {"nu = 0.3", "nu = 0.5", "out of range", ""},
      {"law = \"elastic\"", "law = \"elastik\"", "did you mean \"elastic\"", ""},
      {"face = \"x1\"", "face = \"x11\"", "traction[1].face: no face of the mesh is named so", ""},
      {"face = \"y0\"", "face = \"y00\"", "support[2].face: no face of the mesh is named so", ""},
      {"where = \"eta < 1e-6\"", "where = \"eta < -1\"", "no outer face of the mesh has its centre there",
       ""},
      {"value = \"ux\"", "value = \"uxx\"", "nothing is named \"uxx\"", ""},
      {"value = \"ux\"", "value = \"ux+\"", "ends too early", ""},
      {"reference = \"L*strain\"", "reference = \"L*strein\"", "did you mean \"strain\"", ""},
      {"reference = \"L*strain\"", "reference = 0", "absolute tolerance", ""},
      {"tolerance_percent = 1e-8", "", "quantity[1].tolerance_percent: missing", "[[quantity]]"},
      {"cells = [1, 1, 1]", "cells = [1, 0, 1]", "a whole number of cells", ""},
      {"cells = [1, 1, 1]", "cells = [1, 1]", "a list of three", ""},
      {"hold = [\"x\"]", "hold = [\"w\"]", "allowed x, y, z", ""},
      {"strain = 0.01", "s = 0.01", "stands for something else", ""},
      {"strain = 0.01", "strain = \"E/0\"", "no finite value", ""},
      {"levels = 2", "levels = 20", "1 to 6", ""},
      {"known = \"exact\"", "known = \"guessed\"", "allowed calc, read, memory, exact", ""},
      {"source = \"Hooke\"\n", "", "source: missing", "title"},
      {"[[traction]]", "[[tractoin]]", "did you mean \"traction\"", ""},
      {"levels = 2", "levels = ", "levels: no value after \"=\"", ""},
      {"nu = 0.3",
       "nu = 0.3\n[contact]\nupper = \"x0\"\nlower = \"x01\"\nalong = \"x\"\nstiffness = 1\ndirection = [1, "
       "0, 0]",
       "contact.lower: no face of the mesh is named so; found \"x01\"; did you mean \"x0\"?", "", 3},
      {"law = \"elastic\"\nE = \"E\"\nnu = 0.3", "law = \"hyperfoam\"\nmu = 1\nalpha = 0\nbeta = 0.2",
       "material[1].alpha: out of range: found 0; allowed -1000 to 1000, in size not below 1e-6", "", 2},
      {"at = [\"L\", 0.5, 0.5]\nvalue = \"ux\"", "kind = \"reaction\"\nface = \"x0\"\nvalue = \"mx\"",
       "quantity[1].value: nothing is named \"mx\"", "", 2},
      {"at = [\"L\", 0.5, 0.5]\nvalue = \"ux\"",
       "kind = \"reaction\"\nface = [\"x0\", \"zz0\"]\nvalue = \"fx\"",
       "quantity[1].face: no face of the mesh is named so; found \"zz0\"; did you mean \"z0\"?", "", 1},
  };
  for (const Row &row : rows) {
    const std::string message = refusal(scratch, changed(row.from, row.to));
    INFO(row.from << " -> " << row.to << ": " << message);
    CHECK_THAT(message, Contains(row.holds));
    const auto at = bar.begin() + bar.find(row.place.empty() ? row.from : row.place);
    CHECK_THAT(message, Contains("wrong.toml:" +
                                 std::to_string(1 + row.below + std::count(bar.begin(), at, '\n')) + ":"));
    CHECK(std::count(message.begin(), message.end(), '\n') <=
          2); // one cause, one message; a line with its mark
  }
  // What would be passed over in silence.
  const std::string two_variants = changed(
      "[mesh]\n", "[[variant]]\nname = \"soft\"\nE = 10\n[[variant]]\nname = \"hard\"\nE = 99\n[mesh]\n");
  const Row more[] = {
      {"value = \"ux\"\nreference", "variant = \"sofft\"\nvalue = \"ux\"\nreference",
       "quantity[1].variant: no variant is named so; found \"sofft\"; did you mean \"soft\"?", ""},
      {"title = \"Displacement\"", "title = \"Displacement\"\nvariant = \"gone\"",
       "curve[1].variant: no variant is named so; found \"gone\"; allowed soft, hard", "", 1},
      {"name = \"hard\"", "name = \"soft\"", "variant[2].name: another variant has this name", ""},
      {"face = \"x0\"\nhold", "where = \"x > L+1\"\nhold",
       "support[1].where: no node of the coarsest mesh stands there", ""},
      {"hold = [\"x\"]", "hold = [\"x\"]\nvalue = [0, 0.1, 0]",
       "support[1].value: moves along y, which is not held; found 0.1; allowed 0 there, or \"y\" in hold", "",
       1},
      {"[[traction]]", "[[support]]\nface = \"x0\"\nhold = [\"x\"]\nvalue = [0.1, 0, 0]\n[[traction]]",
       "support[4]: holds a face along x that support[1] holds at another value", ""},
      {"value = \"ux\"\nreference", "load = 1\nvalue = \"ux\"\nreference",
       "quantity[1].load: only with solution.strain = \"finite\"", ""},
      {"tolerance_percent = 1e-8", "tolerance_percent = 1e-8\ntolerance = 1",
       "quantity[1].tolerance: stands beside tolerance_percent", "", 1},
      {"reference = \"L*strain\"\ntolerance_percent = 1e-8", "",
       "quantity: none decides: nothing would be compared", "[[quantity]]"},
      {"[[traction]]", "[solution]\nstrain = \"finite\"\nsteps = [0.5, 1]\n[[traction]]", "", ""},
  };
  for (const Row &row : more) {
    const std::string text = changed(row.from, row.to, two_variants), message = refusal(scratch, text);
    INFO(row.from << " -> " << row.to << ": " << message);
    CHECK_THAT(message, Contains(row.holds));
    CHECK(message.empty() == row.holds.empty());
    const auto at = two_variants.begin() + two_variants.find(row.place.empty() ? row.from : row.place);
    if (!row.holds.empty())
      CHECK_THAT(message,
                 Contains("wrong.toml:" +
                          std::to_string(1 + row.below + std::count(two_variants.begin(), at, '\n')) + ":"));
    CHECK(std::count(message.begin(), message.end(), '\n') == 0);
  }
  CHECK_THAT(
      refusal(scratch, changed("value = \"ux\"\nreference", "load = 0.4\nvalue = \"ux\"\nreference",
                               changed("[[traction]]", "[solution]\nstrain = \"finite\"\nsteps = [0.5, 1]\n"
                                                       "[[traction]]"))),
      Contains("quantity[1].load: is no load factor of solution.steps"));
  // Harmless: a warning.
  const auto warnings = [&](const std::string &text) {
    return load_case(scratch.file("odd.toml", text)).warnings;
  };
  CHECK(warnings(bar).empty());
  REQUIRE(warnings(changed("strain = 0.01", "strain = 0.01\nwidth = 3")).size() == 1);
  CHECK_THAT(warnings(changed("strain = 0.01", "strain = 0.01\nwidth = 3"))[0],
             Contains("odd.toml:9: parameters.width: no formula uses it"));
  // Several faults come all at once.
  std::string two = changed("nu = 0.3", "nuu = 0.3");
  two.replace(two.find("value = \"ux\""), 12, "value = \"uxx\"");
  two.replace(two.find("hold = [\"z\"]"), 12, "hold = [\"w\"]");
  const std::string all = refusal(scratch, two);
  CHECK_THAT(all, Contains("nuu") && Contains("allowed x, y, z"));
}

TEST_CASE("What only small strain has is refused at finite strain", "[textbook]") {
  const Scratch scratch;
  const std::string finite = changed("[[traction]]", "[solution]\nstrain = \"finite\"\n[[traction]]"),
                    mixed = changed("nu = 0.3", "nu = 0.3\nformulation = \"mixed\"", finite),
                    place = "at = [\"L\", 0.5, 0.5]\nvalue = \"ux\"";
  const auto with_field = [&](const std::string &text) { // stress through two fields
    return changed("[mesh]\n", "[fields]\nmean = \"(sxx+syy+szz)/3\"\npart = \"mean/E\"\n[mesh]\n", text);
  };
  struct Row {
    std::string text, key, line, holds; ///< line: a line of the text, without its end
  };
  const Row rows[] = {
      {changed("[solution]", "[body]\nthermal_strain = 0.001\n[solution]", finite), "body.thermal_strain",
       "thermal_strain = 0.001",
       "the solution has finite strain; found \"0.001\"; allowed with solution.strain = \"small\" only"},
      {changed(place, "kind = \"section\"\naxis = \"x\"\nplace = 0\ncentre = [0, 0, 0]\nvalue = \"fx\"",
               finite),
       "quantity[1].kind", "kind = \"section\"",
       "the solution has finite strain; found \"section\"; allowed section with solution.strain = \"small\""},
      {changed("value = \"ux\"", "value = \"1-sxx/E\"", mixed), "quantity[1].value", "value = \"1-sxx/E\"",
       "a material is mixed and the solution has finite strain; found \"sxx\"; allowed no stress"},
      {changed("value = \"ux\"", "value = \"part\"", with_field(mixed)), "quantity[1].value",
       "value = \"part\"",
       "a material is mixed and the solution has finite strain; found \"sxx\"; allowed no stress"},
      {changed("closed_form = \"strain*s\"", "closed_form = \"szx\"", mixed), "curve[1].closed_form",
       "closed_form = \"szx\"",
       "a material is mixed and the solution has finite strain; found \"szx\"; allowed no stress"},
  };
  for (const Row &row : rows) {
    const std::string message = refusal(scratch, row.text);
    INFO(row.text << message);
    const auto at = row.text.find("\n" + row.line + "\n");
    REQUIRE(at != std::string::npos);
    const auto line = 2 + std::count(row.text.begin(), row.text.begin() + at, '\n');
    CHECK_THAT(message, Contains("wrong.toml:" + std::to_string(line) + ": " + row.key + ": " + row.holds));
    CHECK(std::count(message.begin(), message.end(), '\n') <=
          2); // one cause, one message; a line with its mark
  }
  // What stays allowed: the same readings at small strain, stress without mixed cells, other readings with
  // them.
  for (const std::string &text :
       {finite, mixed, with_field(mixed), changed("value = \"ux\"", "value = \"1-sxx/E\"", finite),
        changed("value = \"ux\"", "value = \"1-sxx/E\"",
                changed("strain = \"finite\"", "strain = \"small\"", mixed))})
    CHECK(refusal(scratch, text).empty());
}

TEST_CASE("Every ready case can be read", "[textbook]") {
  const auto paths = ready_cases();
  CHECK(paths.size() >= 30);
  for (const std::string &path : paths) {
    INFO(path);
    const LoadedCase c = load_case(path);
    CHECK_FALSE(c.source.empty());
    CHECK(c.warnings.empty());
    unsigned deciding = 0;
    for (const TextbookQuantity &q : c.body->quantities()) {
      deciding += q.decides;
      CHECK_FALSE(q.source.empty());
      CHECK_FALSE(q.known.empty());
    }
    CHECK(deciding > 0);
  }
}

TEST_CASE("ready cases come from the first folder that has some", "[textbook]") {
  const Scratch scratch;
  const std::string empty = (scratch.path / "empty").string(), missing = (scratch.path / "missing").string();
  std::filesystem::create_directory(empty);
  const std::string with = std::filesystem::path(scratch.file("A1.toml", "")).parent_path().string();
  CHECK(folder_with_cases({missing, empty, with}) == with);
  CHECK_THROWS_WITH(folder_with_cases({missing, empty}),
                    Contains("the ready cases were not found") && Contains(missing) && Contains(empty));
}

TEST_CASE("raybend textbook solves a file of one's own", "[textbook]") {
  const Scratch scratch;
  scratch.file("bar.toml", bar);
  REQUIRE(run(scratch, "textbook bar.toml --out results --no-pictures --vtu") == 0);
  for (const char *name : {"bar.txt", "bar.csv", "bar.json", "bar.vtu", "summary.md"})
    CHECK(fs::file_size(scratch.path / "results" / name) > 0);
  const TextbookResult r = read_textbook_json(text_of(scratch.path / "results/bar.json"));
  REQUIRE(r.levels.size() == 2);
  CHECK(r.levels[1].unknowns == 375); // 2 x 2 x 2 cells of 27 nodes
  CHECK(r.levels[1].values[0] == Approx(0.02).epsilon(1e-10));
  CHECK(verdict(r) == Verdict::met);

  CHECK_FALSE(fs::exists(scratch.path / "results/bar-convergence.png"));
  REQUIRE(run(scratch, "textbook bar.toml --out results") == 0);
  for (const char *name : {"bar-convergence", "bar-curve-1"})
    for (const char *ending : {".png", ".svg"})
      CHECK(fs::file_size(scratch.path / "results" / (std::string(name) + ending)) > 10000);
  CHECK_FALSE(fs::exists(scratch.path / "results/bar.vtu")); // nothing of the former run is left

  // Without a display: all but the pictures, status 1, and the reason.
  const std::string programs = (scratch.path / "programs").string();
  REQUIRE(std::system(("bash '" RAYBEND_SOURCE_DIR "/tests/commands/path_without_xvfb.sh' '" + programs + "'")
                          .c_str()) == 0);
  CHECK(run(scratch, "textbook bar.toml --out results", "env -u DISPLAY PATH='" + programs + "' ") == 1);
  CHECK_THAT(text_of(scratch.path / "out.txt"), Contains("bar: met"));
  CHECK(fs::exists(scratch.path / "results/bar.csv"));
  CHECK_FALSE(fs::exists(scratch.path / "results/bar-convergence.png"));
  for (const char *place : {"err.txt", "results/summary.md"})
    CHECK_THAT(text_of(scratch.path / place), Contains("no pictures: ") && Contains("--no-pictures"));

  // A miss is a failure; with a reason it stays visible but does not fail.
  scratch.file("bar.toml", changed("\"L*strain\"", "0.021"));
  CHECK(run(scratch, "textbook bar.toml --out results --no-pictures") == 1);
  CHECK_THAT(text_of(scratch.path / "out.txt"), Contains("bar: missed"));
  scratch.file("bar.toml", changed("\"L*strain\"", "0.021\nwhy = \"the reference is wrong\""));
  CHECK(run(scratch, "textbook bar.toml --out results --no-pictures") == 0);
  CHECK_THAT(text_of(scratch.path / "out.txt"), Contains("missed (declared)"));
  CHECK_THAT(text_of(scratch.path / "results/summary.md"), Contains("the reference is wrong"));

  // A body that nothing holds is told, not answered.
  std::string loose = bar;
  for (const char *face : {"x0", "y0", "z0"}) {
    const std::string support =
        std::string("[[support]]\nface = \"") + face + "\"\nhold = [\"" + face[0] + "\"]\n";
    loose.erase(loose.find(support), support.size());
  }
  scratch.file("bar.toml", loose);
  CHECK(run(scratch, "textbook bar.toml --out results --no-pictures") == 1);
  CHECK_THAT(text_of(scratch.path / "out.txt"), Contains("stopped:"));
}

TEST_CASE("no process needs a folder of the parallel library, which others may remove", "[textbook]") {
  const Scratch scratch;
  const int status = run(scratch, "textbook F4-uniaxial --no-pictures --out r", "TMPDIR=/dev/null/none ");
  INFO(text_of(scratch.path / "out.txt"));
  CHECK(status == 0);
}

TEST_CASE("raybend textbook: requests", "[textbook]") {
  const Scratch scratch;
  CHECK(run(scratch, "textbook --list") == 0);
  CHECK_THAT(text_of(scratch.path / "out.txt"), Contains("C4-thick-cylinder"));
  struct Row {
    std::string words, holds;
  };
  for (const Row &row :
       {Row{"textbook C4-thick-cilinder", "did you mean \"C4-thick-cylinder\""},
        Row{"textbook", "no case named"}, Row{"textbook --all C1-curved-bar", "--all stands beside"},
        Row{"textbook C1-curved-bar --levels 9", "allowed 1 to 6"},
        Row{"textbook missing.toml", "cannot read"}, Row{"textbook C1-curved-bar --al", "--all"}}) {
    INFO(row.words);
    CHECK(run(scratch, row.words) == 2);
    CHECK_THAT(text_of(scratch.path / "err.txt"), Contains(row.holds));
  }
  // Short names, a few quick cases side by side.
  const int status = run(
      scratch, "textbook b8 F4-uniaxial G1-rigid-modes E1-patch-3d C4-thick-cylinder --no-pictures --out r");
  INFO(text_of(scratch.path / "out.txt"));
  REQUIRE(status == 0);
  CHECK_THAT(text_of(scratch.path / "out.txt"), Contains("5 cases in"));
  CHECK(fs::exists(scratch.path / "r/B8-confined-compression.json"));
  for (const auto &entry : fs::directory_iterator(scratch.path)) // no hidden folder is left
    CHECK(entry.path().filename().string().find(".partial") == std::string::npos);
}
