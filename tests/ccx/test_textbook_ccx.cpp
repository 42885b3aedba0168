// Textbook cases also through CalculiX with 20-node hexahedra on the same mesh.
// Label: slow.
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/lab/general_problem.hpp"
#include "tests/case_files.hpp"
#include "tests/ccx/ccx.hpp"
#include <catch2/catch.hpp>

using namespace raybend;

namespace {

Problem problem_of(const std::string &name) {
  const std::string path = source_path("cases/textbook/" + name + ".toml");
  const toml::table table = parse_toml(read_case_text(path), path);
  ReadingLog log;
  log.file = path;
  KeyTable top(log, &table, "");
  GeneralCase c;
  read_case_head(top, c);
  read_general_case(top, c);
  const BoundProblem bound = bind_problem(c, c.variants.empty() ? nullptr : &c.variants.front(), log);
  for (const Fault &f : log.faults)
    FAIL(f.message());
  return bound.problem;
}

} // namespace

TEST_CASE("The same mesh in CalculiX", "[textbook-ccx]") {
  // 27- and 20-node elements of one mesh are two discretizations of one problem: they agree to about the
  // error of each, which the level is chosen to keep small. `displacement`: largest difference at a node over
  // the largest displacement; `stress`: root mean square of all components over the largest stress.
  struct Row {
    const char *name;
    unsigned level;
    double displacement, stress;
  };
  const auto row =
      GENERATE(Row{"C1-curved-bar", 1, 1e-3, 2e-3}, Row{"C2-quarter-ring", 1, 1e-3, 2e-3},
               Row{"C3-elliptic-torsion", 1, 1e-3, 5e-3}, Row{"C4-thick-cylinder", 1, 1e-3, 2e-3},
               Row{"C5-thick-sphere", 2, 1e-3, 5e-3}, Row{"C6-kirsch", 1, 1e-3, 5e-3},
               Row{"C7-cavity", 1, 2e-3, 5e-3}, Row{"E1-straight-in-plane", 2, 5e-3, 1e-2},
               Row{"E1-curved-in-plane", 2, 5e-3, 1e-2}, Row{"E2-LE1", 1, 2e-3, 5e-3},
               Row{"E3-LE10", 2, 5e-3, 1e-2}, Row{"E4-LE11", 2, 2e-3, 5e-3}, Row{"E5-cook", 2, 5e-3, 1e-2});
  // LE10 has a line support on its outer face, where stress is singular: compared in the inner half of the
  // plan.
  const auto far_from_the_line = [](const Vec3 &x) {
    return std::pow(x[0] / 2.625, 2) + std::pow(x[1] / 1.875, 2) < 1;
  };
  Body body(problem_of(row.name), row.level);
  body.solve_linear(1e-10);
  const CcxComparison c = compare_with_ccx(
      body, run_ccx(body),
      std::string(row.name) == "E3-LE10" ? far_from_the_line : std::function<bool(const Vec3 &)>());
  INFO(row.name << ", level " << row.level << ", " << body.op().m() << " unknowns: displacement apart by "
                << c.displacement << ", stress by " << c.stress_rms);
  REQUIRE(c.largest_displacement > 0);
  CHECK(c.displacement < row.displacement);
  CHECK(c.stress_rms < row.stress);
}
