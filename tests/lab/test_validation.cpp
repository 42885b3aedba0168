// Rows of the validation table: their files, what is read of a solved foot, verdicts, pins. Nothing is solved here
// (tests/validation.sh does that).
#include "cases/lab/textbook_files.hpp"
#include "cases/published/row_runs.hpp"
#include "postprocess/lab/validation_tables.hpp"
#include "tests/case_files.hpp"
#include "tests/scratch.hpp"
#include <catch2/catch.hpp>
#include <cmath>
#include <sstream>

using namespace raybend;
using Catch::Contains;

namespace {

std::string text_of(const std::filesystem::path &path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

const std::string row_text = R"(title = "a row"
source = "nobody 2000"
known = "read"
group = "independent"

[run.bare]
base = "walking"
set = ["activity.barefoot=true"]

[[quantity]]
read = "strain"
ray = 2
side = "dorsal"
at = 0.5
above = -2200
below = -900
found = -1000 # looked at

[[quantity]]
read = "head-share"
ray = 1
)";

/// `row_text` with one part replaced, read as a file beside the base cases.
std::string refusal(const Scratch &scratch, const std::string &from, const std::string &to) {
  std::string text = row_text;
  REQUIRE(text.find(from) != std::string::npos);
  text.replace(text.find(from), from.size(), to);
  const std::string path = scratch.file("row.toml", text);
  return refusal_of([&] { read_published_row(path, ""); });
}

void copy_bases(const Scratch &scratch) {
  std::filesystem::copy(source_path("cases/validation/base"), scratch.path / "base");
}

DesignResult one_ray(const std::vector<std::pair<double, double>> &dorsal_by_fraction) {
  DesignResult r;
  for (const auto &[fraction, strain] : dorsal_by_fraction) {
    StationResult s;
    s.fraction = fraction;
    s.strain_dorsal = strain;
    r.ray[1].shaft.push_back(s);
  }
  return r;
}

ValidationRow row_of(const ValidationQuantity &q) {
  ValidationRow r;
  r.quantities = {q};
  return r;
}

ValidationQuantity found(const double value) {
  ValidationQuantity q;
  q.above = 10;
  q.below = 20;
  q.value = q.pinned = value;
  return q;
}

} // namespace

TEST_CASE("Every validation row can be read and is pinned, and VALIDATION.md says what they say",
          "[validation-files]") {
  std::vector<ValidationRow> rows;
  for (const std::string &path : ready_cases("validation")) {
    INFO(path);
    PublishedRow row = read_published_row(path, "");
    for (ValidationQuantity &q : row.shown.quantities) {
      CHECK(std::isfinite(q.pinned));
      q.value = q.pinned;
    }
    CHECK(as_stated(row.shown));
    rows.push_back(row.shown);
  }
  CHECK(rows.size() >= 17);
  CHECK(text_of(source_path("tests/VALIDATION.md")) == validation_summary(rows));
}

TEST_CASE("Rows share solves: each load once, barefoot one insole for all", "[validation-files]") {
  std::vector<PublishedRow> rows;
  for (const std::string &path : ready_cases("validation"))
    rows.push_back(read_published_row(path, ""));
  const SolvesOfRows solves = solves_of(rows);
  REQUIRE(solves.place.size() == rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i)
    for (const auto &[name, run] : rows[i].runs) {
      const LoadToSolve &load = solves.loads[solves.place[i].at(name).load];
      CHECK(same_loads(load.foot_and_loads.day[0].activity, run.foot_and_loads.day[0].activity));
    }
  for (const LoadToSolve &load : solves.loads)
    if (load.foot_and_loads.day[0].activity.barefoot)
      CHECK(load.designs.size() == 1);
  for (std::size_t i = 0; i < solves.loads.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      CHECK(solves.loads[i].name != solves.loads[k].name);
}

TEST_CASE("Strain at a place is straight between stations; over several instants the largest counts",
          "[validation-files]") {
  const FootReading middle{"strain", 2, "dorsal", 0.5};
  FootRun run;
  run.instants = {one_ray({{0.2, -100}, {0.4, -200}, {0.8, -600}})};
  CHECK(read_foot(middle, run) == Approx(-300));
  CHECK(std::isnan(read_foot({"strain", 2, "dorsal", 0.1}, run))); // no section was cut there
  run.instants.push_back(one_ray({{0.4, 900}, {0.6, 700}}));
  CHECK(read_foot(middle, run) == Approx(800));
  run.instants.push_back(one_ray({{0.4, -900}, {0.6, -900}}));
  CHECK(read_foot(middle, run) == Approx(-900));
  CHECK(words_of(middle) == "dorsal strain of MT2 at 0.5 of its length");
}

TEST_CASE("Head shares are of each head's own largest force", "[validation-files]") {
  FootRun run;
  run.instants.resize(2);
  for (int i = 0; i < 5; ++i)
    run.instants[0].ray[i].head_force.value = 10;
  run.instants[1].ray[4].head_force.value = 60;
  CHECK(read_foot({"head-share", 1, "", -1}, run) == Approx(10));
  CHECK(read_foot({"head-share", 5, "", -1}, run) == Approx(60));
}

TEST_CASE("Pressure under any head is the highest; fascia tension is in body weights", "[validation-files]") {
  FootRun run;
  run.instants.resize(1);
  run.body_weight = 700;
  run.instants[0].ray[3].head_peak_pressure.value = 300;
  run.instants[0].ray[2].head_peak_pressure.value = 200;
  run.instants[0].fascia_total = 770;
  CHECK(read_foot({"head-pressure", 0, "", -1}, run) == Approx(300));
  CHECK(read_foot({"head-pressure", 3, "", -1}, run) == Approx(200));
  CHECK(read_foot({"fascia-tension", 0, "", -1}, run) == Approx(1.1));
  CHECK(words_of({"head-pressure", 0, "", -1}) == "peak pressure under any head");
}

TEST_CASE("Verdicts: a declared miss is held on both sides, and one that is met again is told",
          "[validation-files]") {
  ValidationQuantity q = found(15);
  CHECK(verdict(row_of(q)) == ValidationVerdict::met);
  q = found(25);
  CHECK(verdict(row_of(q)) == ValidationVerdict::missed);
  q.miss = {"a reason", 20, 30};
  CHECK(verdict(row_of(q)) == ValidationVerdict::declared);
  CHECK(as_stated(row_of(q)));
  q.value = q.pinned = 31;
  CHECK(verdict(row_of(q)) == ValidationVerdict::missed);
  q.value = q.pinned = 15;
  CHECK(verdict(row_of(q)) == ValidationVerdict::met_by_now);
  CHECK_FALSE(as_stated(row_of(q)));
  q.value = NAN;
  CHECK(verdict(row_of(q)) == ValidationVerdict::failed);
  ValidationQuantity open = found(-1e9);
  open.above = ValidationQuantity::none;
  CHECK(verdict(row_of(open)) == ValidationVerdict::met);
}

TEST_CASE("Pins hold to two per cent, changes to a tenth of a per cent at least", "[validation-files]") {
  ValidationQuantity q = found(15);
  q.value = 15.29;
  CHECK(as_stated(row_of(q)));
  q.value = 15.31;
  CHECK_FALSE(as_stated(row_of(q)));
  ValidationRow other = row_of(q);
  other.pins_count = false; // another resolution
  CHECK(as_stated(other));
  q.pinned = ValidationQuantity::none;
  CHECK_FALSE(as_stated(row_of(q)));
  ValidationQuantity change = found(1);
  change.unit = "%";
  change.value = 1.09;
  CHECK(change.as_pinned());
  change.value = 1.11;
  CHECK_FALSE(change.as_pinned());
}

TEST_CASE("New pins replace the old ones in their lines and leave the rest as it was", "[validation-files]") {
  const Scratch scratch;
  copy_bases(scratch);
  PublishedRow row = read_published_row(scratch.file("row.toml", row_text), "");
  row.shown.quantities[0].value = -1234.56;
  row.shown.quantities[1].value = 19.004;
  std::string wanted = row_text;
  const std::string old = "found = -1000 # looked at";
  wanted.replace(wanted.find(old), old.size(), "found = -1235");
  wanted.replace(wanted.rfind("[[quantity]]\n"), 13, "[[quantity]]\nfound = 19\n");
  CHECK(with_new_pins(row_text, row) == wanted);
  CHECK(read_published_row(scratch.file("row.toml", wanted), "").shown.quantities[0].pinned == -1235);
}

TEST_CASE("Wrong rows are refused with line, key and what is allowed", "[validation-files]") {
  const Scratch scratch;
  copy_bases(scratch);
  struct Wrong {
    const char *from, *to, *message;
  };
  for (const Wrong &w : {
           Wrong{"known = \"read\"", "known = \"seen\"",
                 "row.toml:3: known: found \"seen\"; allowed read, memory"},
           Wrong{"group = \"independent\"", "group = \"calibrated\"", "set_by_it: missing"},
           Wrong{"base = \"walking\"", "base = \"walkin\"", "row.toml:7: run.bare.base: with its changes: "},
           Wrong{"activity.barefoot=true", "activity.barefot=true", "did you mean \"barefoot\"?"},
           Wrong{"set = [", "design = \"mouldd\"\nset = [", "did you mean \"moulded\"?"},
           Wrong{"read = \"strain\"", "read = \"strains\"",
                 "row.toml:11: quantity[1].read: found \"strains\""},
           Wrong{"ray = 2", "ray = 6", "quantity[1].ray: found 6; allowed 1 to 5"},
           Wrong{"ray = 2", "run = \"shod\"\nray = 2", "quantity[1].run: found \"shod\"; allowed bare"},
           Wrong{"at = 0.5", "at = 50", "a fraction of the ray's length"},
           Wrong{"at = 0.5", "at = \"mid\"", "quantity[1].at: found \"mid\"; allowed a number"},
           Wrong{"ray = 1", "ray = 1\nside = \"dorsal\"", "is of a strain"},
           Wrong{"ray = 1", "ray = 1\nas = \"change\"", "\"over\", which is missing"},
           Wrong{"ray = 1", "ray = 1\nabov = 3", "did you mean \"above\"?"},
           Wrong{"ray = 1", "ray = 1\n[quantity.missed]\nbecause = \"x\"\nabove = 1\nbelow = 2",
                 "no range is given"},
           Wrong{"[run.bare]", "[runs.bare]", "runs: unknown key; did you mean \"run\"?"},
       }) {
    const std::string message = refusal(scratch, w.from, w.to);
    INFO(w.from << " -> " << w.to << ": " << message);
    CHECK_THAT(message, Contains(w.message));
  }
}
