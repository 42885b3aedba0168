// Studies: plans, distributions, correlations, the surrogate's indices against functions whose indices are known, the store.
#include "cases/study/plan/plan.hpp"
#include "cases/study/store.hpp"
#include "cases/study/study_reader.hpp"
#include "geometry/constants.hpp"
#include "postprocess/study/surrogate.hpp"
#include "tests/case_files.hpp"
#include "tests/scratch.hpp"
#include <array>
#include <cmath>
#include <functional>
#include <numeric>

using namespace raybend;

namespace {

Study sample_study(const PlanKind plan, const std::size_t points, const std::vector<Marginal> &marginals) {
  Study s;
  s.plan = plan;
  s.points = points;
  s.seed = 3;
  for (std::size_t i = 0; i < marginals.size(); ++i)
    s.inputs.push_back({"x" + std::to_string(i), {"x" + std::to_string(i)}, marginals[i]});
  return s;
}

Marginal uniform(const double low, const double high) {
  Marginal m;
  m.kind = Marginal::Kind::uniform;
  m.low = low;
  m.high = high;
  return m;
}

InputMeasure measure_of(const Marginal &m) {
  InputMeasure measure;
  for (int i = 0; i < 400; ++i)
    measure.push_back(m.quantile((i + 0.5) / 400));
  return measure;
}

Indices indices_of(const std::vector<Marginal> &marginals, const std::size_t points,
                   const std::function<double(const std::vector<double> &)> &f) {
  const auto sample = plan_points(sample_study(PlanKind::sobol, points, marginals), {});
  std::vector<double> values;
  std::vector<InputMeasure> measures;
  for (const auto &x : sample)
    values.push_back(f(x));
  for (const Marginal &m : marginals)
    measures.push_back(measure_of(m));
  return Surrogate(sample, values, measures).indices();
}

} // namespace

TEST_CASE("a Latin hypercube has one point in every part of every input", "[study]") {
  for (const std::size_t n : {1, 2, 17, 100}) {
    const Matrix sample = latin_hypercube(n, 5, 7);
    REQUIRE(sample.size() == n);
    for (std::size_t j = 0; j < 5; ++j) {
      std::vector<int> seen(n, 0);
      for (const auto &row : sample)
        ++seen[static_cast<std::size_t>(row[j] * n)];
      CHECK(std::count(seen.begin(), seen.end(), 1) == static_cast<long>(n));
    }
  }
  CHECK(latin_hypercube(20, 2, 1) == latin_hypercube(20, 2, 1));
  CHECK(latin_hypercube(20, 2, 1) != latin_hypercube(20, 2, 2));
}

// What S. Joe and F. Y. Kuo's own program prints for three dimensions with their file new-joe-kuo-6.21201 (from memory),
// without the point at zero.
TEST_CASE("Sobol points begin as published", "[study]") {
  const Matrix published = {{0.5, 0.5, 0.5},       {0.75, 0.25, 0.25},       {0.25, 0.75, 0.75},
                            {0.375, 0.375, 0.625}, {0.875, 0.875, 0.125},    {0.625, 0.125, 0.875},
                            {0.125, 0.625, 0.375}, {0.1875, 0.3125, 0.9375}, {0.6875, 0.8125, 0.4375}};
  const Matrix found = sobol_points(published.size(), 3, 0);
  for (std::size_t i = 0; i < published.size(); ++i)
    for (std::size_t j = 0; j < 3; ++j)
      CHECK(found[i][j] == Approx(published[i][j]).margin(1e-15));
}

TEST_CASE("Sobol points fill every part once, shifted ones stay in the cube", "[study]") {
  const std::size_t n = 256; // with the point at zero
  const Matrix points = sobol_points(n - 1, 12, 0);
  for (std::size_t j = 0; j < 12; ++j) {
    std::vector<int> seen(n, 0);
    ++seen[0];
    for (const auto &row : points)
      ++seen[static_cast<std::size_t>(row[j] * n)];
    CHECK(std::count(seen.begin(), seen.end(), 1) == static_cast<long>(n));
  }
  for (const auto &row : sobol_points(100, 3, 5))
    for (const double x : row)
      CHECK((x >= 0 && x < 1));
}

TEST_CASE("rank correlations come out as wanted and every column keeps its values", "[study]") {
  const Matrix before = latin_hypercube(200, 3, 11), wanted = {{1, 0.7, 0}, {0.7, 1, -0.4}, {0, -0.4, 1}};
  Matrix sample = before;
  correlate_ranks(sample, wanted, 12);
  for (std::size_t a = 0; a < 3; ++a) {
    std::vector<double> old_column, column;
    for (std::size_t i = 0; i < sample.size(); ++i) {
      old_column.push_back(before[i][a]);
      column.push_back(sample[i][a]);
    }
    std::sort(old_column.begin(), old_column.end());
    std::sort(column.begin(), column.end());
    CHECK(column == old_column);
    for (std::size_t b = 0; b < a; ++b) // Spearman's lies below Pearson's of the scores by 0.02 at most
      CHECK(rank_correlation(sample, a, b) == Approx(wanted[a][b]).margin(0.03));
  }
  const Matrix contradiction = {{1, 0.9, 0.9}, {0.9, 1, -0.9}, {0.9, -0.9, 1}};
  CHECK_THROWS_AS(correlate_ranks(sample, contradiction, 1), std::invalid_argument);
  Matrix few = latin_hypercube(3, 3, 1);
  CHECK_THROWS_AS(correlate_ranks(few, wanted, 1), std::invalid_argument);
}

// Ranks by hand: 1 2 3 4 and 1 3 2 4 differ by 0, 1, 1, 0: rho = 1 - 6 * 2 / (4 * 15) = 0.8.
TEST_CASE("Spearman's coefficient of four points", "[study]") {
  CHECK(rank_correlation({{10, 0.1}, {20, 0.3}, {30, 0.2}, {40, 9}}, 0, 1) == Approx(0.8));
}

TEST_CASE("distributions have their quantiles and moments, and are cut", "[study]") {
  Marginal m;
  m.kind = Marginal::Kind::normal;
  m.mean = 10;
  m.deviation = 2;
  m.low = -1e3;
  m.high = 1e3;
  CHECK(m.quantile(0.975) == Approx(10 + 2 * 1.959964).epsilon(1e-6)); // tables of the normal distribution
  CHECK(m.quantile(0.5) == Approx(10));
  m.low = 9; // half a deviation below to one above: Phi(-0.5) = 0.308538, Phi(1) = 0.841345
  m.high = 12;
  CHECK(m.quantile(0) == Approx(9));
  CHECK(m.quantile(1) == Approx(12));
  CHECK(m.quantile((0.5 - 0.308538) / (0.841345 - 0.308538)) == Approx(10).epsilon(1e-5));
  m.kind = Marginal::Kind::lognormal;
  m.low = 0;
  m.high = 1e6;
  double sum = 0, squares = 0;
  const int n = 100000;
  for (int i = 0; i < n; ++i) {
    const double x = m.quantile((i + 0.5) / n);
    sum += x;
    squares += x * x;
  }
  CHECK(sum / n == Approx(10).epsilon(1e-3));
  CHECK(std::sqrt(squares / n - sum / n * sum / n) == Approx(2).epsilon(5e-3));
  m.kind = Marginal::Kind::triangular;
  m.low = 0;
  m.high = 4;
  m.mode = 1; // a quarter of the area lies below the mode
  CHECK(m.quantile(0.25) == Approx(1));
  m = Marginal();
  m.values = {5, 7, 6};
  CHECK(m.quantile(0) == 5);
  CHECK(m.quantile(0.5) == 7);
  CHECK(m.quantile(1) == 6);
}

TEST_CASE("a grid has every combination, one at a time each value beside the base", "[study]") {
  Marginal a, b;
  a.values = {1, 2, 3};
  b.values = {10, 20};
  const auto grid = plan_points(sample_study(PlanKind::grid, 0, {a, b}), {});
  CHECK(grid == std::vector<StudyPoint>{{1, 10}, {1, 20}, {2, 10}, {2, 20}, {3, 10}, {3, 20}});
  const auto single = plan_points(sample_study(PlanKind::one_at_a_time, 0, {a, b}), {2, 15});
  CHECK(single == std::vector<StudyPoint>{{2, 15}, {1, 15}, {3, 15}, {2, 10}, {2, 20}});
}

// T. Ishigami and T. Homma, Proc. ISUMA '90 (1990) 398-403: f = sin x1 + a sin^2 x2 + b x3^4 sin x1, x uniform in -pi..pi.
// Variance V1 = (1 + b pi^4 / 5)^2 / 2, V2 = a^2 / 8, V13 = b^2 pi^8 (1/18 - 1/50); with a = 7, b = 0.1 the indices are
// 0.3139, 0.4424, 0 and 0.5576, 0.4424, 0.2437 (A. Saltelli et al., Global Sensitivity Analysis, Wiley 2008).
TEST_CASE("indices of Ishigami's function", "[study]") {
  const double a = 7, b = 0.1, v1 = std::pow(1 + b * std::pow(pi, 4) / 5, 2) / 2, v2 = a * a / 8,
               v13 = b * b * std::pow(pi, 8) * (1.0 / 18 - 1.0 / 50), v = v1 + v2 + v13;
  const std::array<double, 3> first = {v1 / v, v2 / v, 0}, total = {(v1 + v13) / v, v2 / v, v13 / v};
  CHECK(first[0] == Approx(0.3139).margin(5e-5)); // the formulas against the printed values
  CHECK(first[1] == Approx(0.4424).margin(5e-5));
  CHECK(total[0] == Approx(0.5576).margin(5e-5));
  CHECK(total[2] == Approx(0.2437).margin(5e-5));
  const Indices found =
      indices_of(std::vector<Marginal>(3, uniform(-pi, pi)), 400, [&](const std::vector<double> &x) {
        return std::sin(x[0]) + a * std::pow(std::sin(x[1]), 2) + b * std::pow(x[2], 4) * std::sin(x[0]);
      });
  INFO(found.why_not);
  REQUIRE(found.hold);
  CHECK(found.error < 0.02);
  CHECK(found.mean == Approx(a / 2).margin(0.05));
  CHECK(found.deviation == Approx(std::sqrt(v)).epsilon(0.02));
  for (std::size_t j = 0; j < 3; ++j) {
    INFO("input " << j + 1);
    CHECK(found.input[j].first == Approx(first[j]).margin(0.01));
    CHECK(found.input[j].total == Approx(total[j]).margin(0.01));
    CHECK((found.input[j].first_low <= found.input[j].first &&
           found.input[j].first <= found.input[j].first_high));
    CHECK((found.input[j].total_low <= found.input[j].total &&
           found.input[j].total <= found.input[j].total_high));
    CHECK(found.input[j].total_high - found.input[j].total_low < 0.05);
  }
}

// I. M. Sobol's g: product of (|4 x - 2| + a) / (1 + a), x uniform in 0..1. Partial variances V_i = 1 / (3 (1 + a_i)^2), those of
// sets their products; total of i: V_i times the product of the others' (1 + V_j). (A. Saltelli and I. M. Sobol, Reliab. Eng.
// Syst. Saf. 50 (1995) 225-239.)
TEST_CASE("indices of Sobol's g function, which has kinks", "[study]") {
  const std::vector<double> a = {0, 1, 4.5, 9, 99, 99};
  double all = 1;
  for (const double each : a)
    all *= 1 + 1 / (3 * (1 + each) * (1 + each));
  const Indices found =
      indices_of(std::vector<Marginal>(a.size(), uniform(0, 1)), 600, [&](const std::vector<double> &x) {
        double product = 1;
        for (std::size_t j = 0; j < a.size(); ++j)
          product *= (std::abs(4 * x[j] - 2) + a[j]) / (1 + a[j]);
        return product;
      });
  INFO(found.why_not);
  REQUIRE(found.hold);
  for (std::size_t j = 0; j < a.size(); ++j) {
    const double v = 1 / (3 * (1 + a[j]) * (1 + a[j]));
    INFO("input " << j + 1);
    CHECK(found.input[j].first == Approx(v / (all - 1)).margin(0.03));
    CHECK(found.input[j].total == Approx(v * all / (1 + v) / (all - 1)).margin(0.03));
  }
}

TEST_CASE("indices of inputs that take a few values are those of the table's variance", "[study]") {
  // f = x + 2 z + x z over x in {-1, 1}, z in {-1, 0, 1}: variances 1, 4 * 2/3, 2/3 of 13/3 in all
  std::vector<std::vector<double>> points;
  std::vector<double> values;
  for (int again = 0; again < 2; ++again)
    for (const double x : {-1.0, 1.0})
      for (const double z : {-1.0, 0.0, 1.0}) {
        points.push_back({x, z});
        values.push_back(x + 2 * z + x * z);
      }
  const Indices found = Surrogate(points, values, {{-1, 1}, {-1, 0, 1}}).indices();
  REQUIRE(found.hold);
  CHECK(found.input[0].first == Approx(3.0 / 13));
  CHECK(found.input[0].total == Approx(5.0 / 13));
  CHECK(found.input[1].first == Approx(8.0 / 13));
  CHECK(found.input[1].total == Approx(10.0 / 13));
}

TEST_CASE("indices are refused of noise, of too few points, of a constant", "[study]") {
  const std::vector<Marginal> two(2, uniform(0, 1));
  int state = 1;
  const Indices noise = indices_of(two, 200, [&](const std::vector<double> &) {
    state = static_cast<int>((state * 16807LL) % 2147483647); // Park and Miller
    return state / 2147483647.0;
  });
  CHECK_FALSE(noise.hold);
  CHECK(noise.error > 0.5);
  CHECK(noise.why_not.find("misses") != std::string::npos);
  CHECK_FALSE(indices_of(two, 5, [](const std::vector<double> &x) { return x[0]; }).hold);
  CHECK(indices_of(two, 50, [](const std::vector<double> &) { return 3.0; }).why_not ==
        "the output does not change");
}

// ---- files

TEST_CASE("wrong study files get their message", "[study-files]") {
  const Scratch scratch;
  std::filesystem::copy_file(source_path("cases/standing.toml"), scratch.path / "standing.toml");
  const auto files = wrong_files("tests/studies/bad_studies");
  REQUIRE(files.size() > 25);
  for (const WrongFile &file : files) {
    INFO(file.name);
    const std::string path = scratch.file("study.toml", file.text);
    const std::string message = refusal_of([&] { read_study(path); });
    CHECK(message.substr(0, message.find('\n')) == path + ":" + file.line + ": " + file.message);
  }
}

TEST_CASE("the right study file is read", "[study-files]") {
  const Scratch scratch;
  std::filesystem::copy_file(source_path("cases/standing.toml"), scratch.path / "standing.toml");
  std::filesystem::copy_file(source_path("tests/studies/bad_studies/base.toml"), scratch.path / "study.toml");
  const ReadStudy read = read_study((scratch.path / "study.toml").string());
  CHECK(read.points.size() == 16);
  REQUIRE(read.study.inputs.size() == 3);
  CHECK(read.study.inputs[0].keys == std::vector<std::string>{"designs[2].support[1].behind_heads_mm"});
  CHECK(read.study.inputs[1].keys ==
        std::vector<std::string>{"designs[1].layers[3].thickness_mm", "designs[2].layers[3].thickness_mm"});
  CHECK(read.study.inputs[1].name == "cover_mm");
  for (const StudyPoint &p : read.points) {
    CHECK((p[0] >= 2 && p[0] <= 20));
    CHECK((p[1] == 2 || p[1] == 3 || p[1] == 4));
    const auto sets = sets_of(read.study, p);
    CHECK(sets.size() == 1 + 1 + 2 + 1);
  }
}

TEST_CASE("every ready study is read and its points make valid cases", "[study-files]") {
  const auto files = toml_files_in("cases/studies");
  CHECK(files.size() >= 3);
  for (const auto &file : files) {
    if (file.stem().string().rfind("best-", 0) == 0)
      continue; // of another command (test_best.cpp)
    INFO(file.string());
    CHECK(refusal_of([&] { read_study(file.string()); }) == "");
  }
}

namespace {

RunRow row_of(const std::size_t point, const double strain) {
  RunRow row;
  row.run = {point, "standing", "flat"};
  row.status = "done";
  row.result.converged = true;
  for (RayResult &ray : row.result.ray) {
    ray.peak_strain.value = strain;
    ray.shaft.resize(2);
    ray.shaft[1].fraction = 1;
    ray.shaft[1].strain_dorsal = -4 * strain; // -2 of it at half
  }
  return row;
}

} // namespace

TEST_CASE("a store keeps what it was given, once, and takes over another's runs", "[study-files]") {
  const Scratch scratch;
  Marginal m;
  m.values = {1, 2, 3};
  const Study study = sample_study(PlanKind::grid, 0, {m});
  const auto points = plan_points(study, {});
  const std::string a = (scratch.path / "a.sqlite").string(), b = (scratch.path / "b.sqlite").string();
  {
    StudyStore store(a, study, points, Side::right), other(b, study, points, Side::right);
    store.add({row_of(1, 100), row_of(2, 200)});
    store.add({row_of(2, 999)}); // there already
    other.add({row_of(2, 777), row_of(3, 300)});
  }
  StudyStore store(a, study, points, Side::right);
  CHECK(store.runs().size() == 2);
  CHECK(store.merge(b) == 1);
  const auto values = store.values(2, {"peak_strain_ue", "strain_dorsal_at_50_pct_ue", "head_force_n"});
  REQUIRE(values.size() == 3);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(values[i].run.point == i + 1);
    CHECK(values[i].outputs[0] == 100 * (i + 1));
    CHECK(values[i].outputs[1] == -200 * (i + 1.0));
  }
  RunRow failed = row_of(1, 0);
  failed.run.design = "other";
  failed.status = "failed";
  failed.reason = "did not converge,\nhere";
  store.add({failed});
  CHECK(store.csv().find("\"did not converge, here\"") != std::string::npos);
  CHECK(store.values(2, {"peak_strain_ue"}).size() == 3);
  store.forget_failed();
  CHECK(store.runs().size() == 3);
  Study other = study;
  other.inputs[0].name = "y";
  CHECK(refusal_of([&] { StudyStore wrong(b, other, points, Side::right); }).find("its plan differs") !=
        std::string::npos);
}
