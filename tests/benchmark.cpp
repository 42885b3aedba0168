// Prints figures, asserts nothing: unknowns, iterations, seconds and memory of a design at each resolution,
// growth from one to the next, and one linear solve against the packaged sparse direct solver on the same
// matrix, same machine, same minute; the page of all designs, written from these results. usage: [mpirun -n N] raybend_benchmark CASE.toml [coarse|standard|fine
// [trace]] The last resolution to run (default: fine, five minutes); `trace` prints every Newton step with the
// seconds since the design began. Peak memory is each design's own.
#include "cases/commands/case_report.hpp"
#include "cases/forefoot/reader.hpp"
#include "postprocess/files/tables.hpp"
#include "postprocess/page/page.hpp"
#include "solver/forefoot/state.hpp"
#include "solver/forefoot_model.hpp"
#include "tests/expand_matrix.hpp"
#include <chrono>
#include <cstdio>
#include <ctime>
#include <deal.II/base/mpi.h>
#include <deal.II/lac/sparse_direct.h>
#include <filesystem>
#include <malloc.h>

using namespace raybend;

namespace {
double since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// (S + U M U^T)^-1 b with S factorized, as the operator's products see the matrix. Woodbury without M's
/// inverse, which need not exist: Z = S^-1 U, y = S^-1 b, (1 + M U^T Z) c = M U^T y, x = y - Z c. One rank.
dealii::Vector<double> solve_with_low_rank(const dealii::SparseDirectUMFPACK &direct, const LowRank &part,
                                           const Vector &b) {
  const auto serial = [](const Vector &v) {
    dealii::Vector<double> copy(v.locally_owned_size());
    for (unsigned i = 0; i < copy.size(); ++i)
      copy[i] = v.local_element(i);
    return copy;
  };
  dealii::Vector<double> y = serial(b);
  direct.solve(y);
  const unsigned n = part.columns.size();
  if (n == 0)
    return y;
  std::vector<dealii::Vector<double>> u, z;
  for (const Vector *column : part.columns) {
    u.push_back(serial(*column));
    z.push_back(u.back());
    direct.solve(z.back());
  }
  dealii::FullMatrix<double> uz(n), system(n);
  dealii::Vector<double> uy(n), right(n), c(n);
  for (unsigned i = 0; i < n; ++i) {
    uy[i] = u[i] * y;
    for (unsigned j = 0; j < n; ++j)
      uz(i, j) = u[i] * z[j];
  }
  part.m.mmult(system, uz);
  part.m.vmult(right, uy);
  for (unsigned i = 0; i < n; ++i)
    system(i, i) += 1;
  system.gauss_jordan();
  system.vmult(c, right);
  for (unsigned i = 0; i < n; ++i)
    y.add(-c[i], z[i]);
  return y;
}

// The linear system of the last solve, standard level: CG with multigrid against UMFPACK, the same matrix and
// right side.
void against_direct(const ForefootState &state) {
  const unsigned l = state.levels.size() - 1;
  SolidOperator &op = *state.operators[l];
  op.linearize(state.displacement[l], 1.0, false);
  Vector b, x;
  op.initialize_dof_vector(b);
  op.initialize_dof_vector(x);
  for (unsigned i = 0; i < b.locally_owned_size(); ++i)
    b.local_element(i) = std::cos(0.37 * i);
  op.level().constraints.set_zero(b);
  auto start = std::chrono::steady_clock::now();
  state.preconditioners[l]->update(state.displacement[l], 1.0);
  unsigned iterations = 0;
  conjugate_gradients(op, *state.preconditioners[l], x, b, 1e-6, 500, iterations);
  const double multigrid = since(start);
  dealii::SparsityPattern pattern;
  dealii::SparseMatrix<double> matrix;
  LowerTriangle lower;
  op.assemble(lower);
  expand(lower, pattern, matrix);
  start = std::chrono::steady_clock::now();
  dealii::SparseDirectUMFPACK direct;
  direct.initialize(matrix);
  const dealii::Vector<double> answer = solve_with_low_rank(direct, op.low_rank(), b);
  const double seconds = since(start);
  double apart = 0;
  for (unsigned i = 0; i < answer.size(); ++i)
    apart += std::pow(answer[i] - x.local_element(i), 2);
  std::printf(
      "linear solve, %lu unknowns: multigrid %.1f s (%u CG iterations to 1e-6), UMFPACK with %lu low-rank "
      "columns %.1f s, ratio %.2f; answers apart by %.1e of their norm\n",
      (unsigned long)matrix.m(), multigrid, iterations, (unsigned long)op.low_rank().columns.size(), seconds,
      seconds / multigrid, std::sqrt(apart) / answer.l2_norm());
}

// What the page costs: report.html and the drawings of the designs, with the picture of a run of the case beside it and
// every result six times, as for a step of six instants.
void write_page(ReportInput input, const std::vector<DesignOutcome> &outcomes, const std::string &picture) {
  input.outcomes = outcomes;
  const std::vector<RankedDesign> ranking = rank_designs(input);
  const std::string json = summary_json(input, ranking);
  const auto start = std::chrono::steady_clock::now();
  const std::clock_t began = std::clock();
  const std::size_t drawings = design_drawings(input).size();
  const std::string page = report_page(input, ranking, json, picture);
  std::printf("page of %lu designs: %.1f MiB, %.2f s of processor time, %.2f s on the clock\n", drawings,
              page.size() / 1048576.0, static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC,
              since(start));
}
} // namespace

int main(int argc, char **argv) {
  dealii::Utilities::MPI::MPI_InitFinalize init(argc, argv, 1);
  if (argc < 2)
    return 2;
  const Case c = read_case(argv[1], {});
  const std::string last = argc > 2 ? argv[2] : "fine";
  const bool trace = argc > 3 && std::string(argv[3]) == "trace";
  const bool root = dealii::Utilities::MPI::this_mpi_process(MPI_COMM_WORLD) == 0;
  double before_seconds = 0, before_unknowns = 0;
  for (const Resolution r : {Resolution::coarse, Resolution::standard, Resolution::fine}) {
    Settings settings = c.settings;
    settings.resolution = r;
    ForefootModel model(c.foot, c.day.front().activity, settings, MPI_COMM_WORLD);
    double first = 0;
    std::vector<DesignOutcome> outcomes;
    for (const Design &d : c.designs) {
      const auto start = std::chrono::steady_clock::now();
      ForefootModel::Progress progress;
      if (trace)
        progress = [start](const std::string &line) {
          std::printf("%6.1f s  %s\n", since(start), line.c_str());
        };
      const DesignResult result = model.solve(d, progress);
      if (!root)
        continue;
      outcomes.push_back({d, {}, result, result, StepResult(6, result), StepResult(6, result), "", ""});
      const SolveRecord &s = result.record;
      std::printf("%-8s %-20s %8lu unknowns %3u Newton %4u CG (most %3u) %2u L-BFGS %7.1f s %6.0f MiB%s",
                  r == Resolution::coarse     ? "coarse"
                  : r == Resolution::standard ? "standard"
                                              : "fine",
                  d.name.c_str(), s.unknowns, s.newton_steps, s.cg_iterations, s.most_cg_in_a_step,
                  s.descent_iterations, s.seconds, s.peak_memory_mib,
                  result.converged ? "" : " NOT CONVERGED");
      if (first > 0)
        std::printf("  %.0f %% of the first", 100 * s.seconds / first);
      else {
        first = s.seconds;
        if (before_seconds > 0)
          std::printf("  %.1f times the unknowns, %.1f times the time", s.unknowns / before_unknowns,
                      s.seconds / before_seconds);
        before_seconds = s.seconds;
        before_unknowns = s.unknowns;
      }
      std::printf("\n");
      std::fflush(stdout);
    }
    if (root)
      write_page(report_input(c, c.day.front(), ""), outcomes,
                 std::filesystem::path(argv[1]).replace_extension("").string() + "-bones.png");
    if (r == Resolution::standard && dealii::Utilities::MPI::n_mpi_processes(MPI_COMM_WORLD) == 1) {
      against_direct(model.state());
      malloc_trim(0); // else the direct solver's memory would count as the next resolution's
    }
    if ((last == "coarse" && r == Resolution::coarse) || (last == "standard" && r == Resolution::standard))
      break;
  }
  return 0;
}
