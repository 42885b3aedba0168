// How sure an answer is: chances against closed forms, simulated patients, the numbers that are drawn.
#include "cases/forefoot/reader.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/sure/foot_solver.hpp"
#include "cases/sure/uncertain.hpp"
#include "postprocess/files/tables.hpp"
#include "postprocess/page/page.hpp"
#include "postprocess/sure/proposal.hpp"
#include "postprocess/sure/sure_tables.hpp"
#include "postprocess/sure/sureness.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/summary.hpp"
#include "postprocess/words/sure_words.hpp"
#include "solver/force_line.hpp"
#include "tests/sample_results.hpp"
#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_01.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <numeric>

using namespace raybend;

namespace {

using Foot = std::vector<double>;

double phi(const double x) {
  return boost::math::cdf(boost::math::normal(), x);
}

/// A sample of a made-up foot of `inputs` numbers under three designs, the first the reference: ln strain of the others over it.
struct MadeUp {
  std::size_t inputs;
  std::function<double(const Foot &)> a, b;
  std::function<double(const Foot &)> evidence; ///< may be empty

  FootOutputs outputs(const Foot &z) const {
    FootOutputs o;
    o.strain = {2000, 2000 * std::exp(a(z)), 2000 * std::exp(b(z))};
    o.head_rise = {0, a(z), b(z)};
    o.ray_rise = {0, -1, 1};
    if (evidence)
      o.evidence = {evidence(z)};
    return o;
  }
  FootSample sample(const std::size_t feet, const unsigned seed) const {
    FootSample s;
    s.designs = {"plain", "pad", "bar"};
    boost::random::mt19937_64 engine(seed);
    boost::random::normal_distribution<double> normal;
    for (std::size_t j = 0; j < inputs; ++j)
      s.numbers.push_back({"number " + std::to_string(j + 1), "way " + std::to_string(j + 1), 10, 1, false});
    if (evidence)
      s.published = {{"seen", "made up", 0, 1}};
    s.base = outputs(Foot(inputs, 0));
    s.meshes = {{s.base.strain, s.base.strain}}; // without doubt of the mesh
    for (std::size_t i = 0; i < feet; ++i) {
      Foot z;
      for (std::size_t j = 0; j < inputs; ++j)
        z.push_back(std::clamp(normal(engine), -3.0, 3.0));
      s.feet.push_back({z, outputs(z)});
    }
    return s;
  }
};

} // namespace

TEST_CASE("chances of linear differences are those of the normal distribution", "[sure]") {
  const MadeUp made{3,
                    [](const Foot &z) { return -0.05 + 0.06 * z[0] + 0.08 * z[1]; },
                    [](const Foot &z) { return 0.10 + 0.05 * z[2]; },
                    {}};
  const FootSample s = made.sample(8000, 1);
  const Sureness sure = how_sure(s);
  REQUIRE(sure.why_not.empty());
  CHECK(sure.effective == Approx(8000));
  CHECK(sure.error_of(0.5) == Approx(0.5 / std::sqrt(8000.0)));
  // ln(pad / plain) ~ N(-0.05, 0.1^2), ln(bar / plain) ~ N(0.10, 0.05^2); margins of three standard errors of 8000 feet
  CHECK(sure.pair(1, 0).less == Approx(phi(0.5)).margin(0.016));
  CHECK(sure.pair(0, 1).less == Approx(1 - phi(0.5)).margin(0.016));
  CHECK(sure.pair(2, 0).less == Approx(phi(-2)).margin(0.006));
  CHECK(sure.pair(1, 2).less == Approx(phi(0.15 / std::hypot(0.1, 0.05))).margin(0.010));
  CHECK(sure.pair(1, 0).median == Approx(100 * std::expm1(-0.05)).margin(0.4));
  CHECK(sure.pair(1, 0).low == Approx(100 * std::expm1(-0.05 - 0.1645)).margin(0.7));
  CHECK(sure.pair(0, 1).high == Approx(100 * std::expm1(0.05 + 0.1645)).margin(1.0));
  CHECK(sure.pair(1, 0).person == Approx(10).margin(0.25));
  CHECK(sure.pair(1, 0).model == 0);
  CHECK(sure.pair(1, 0).mesh == Approx(0).margin(1e-9));
  for (std::size_t d = 0; d < 3; ++d) {
    double by_design = 0, by_rank = 0;
    for (std::size_t r = 0; r < 3; ++r) {
      by_design += sure.rank[d][r];
      by_rank += sure.rank[r][d];
    }
    CHECK(by_design == Approx(1));
    CHECK(by_rank == Approx(1));
  }
  CHECK(sure.order == std::vector<std::size_t>{1, 0, 2});
  // a rise beyond 5 %: the pad's pressure has the law of its strain here; the other ray's is -1 or 1 whatever the foot
  CHECK(sure.cautions[1].head_pressure == Approx(1 - phi((std::log(1.05) + 0.05) / 0.1)).margin(0.014));
  CHECK(sure.cautions[1].other_ray == Approx(0.5 / 8001)); // never seen; but of 8000 feet alone
  CHECK(sure.cautions[2].other_ray == Approx(8000.5 / 8001));
  CHECK(std::isnan(sure.cautions[0].head_pressure));
  // the pad against the reference hangs on numbers 1 and 2 as 0.36 to 0.64
  REQUIRE(sure.measurements.size() == 3);
  CHECK(sure.measurements[0].words == "way 2");
  CHECK(sure.measurements[0].part == Approx(0.64).margin(0.02));
  CHECK(sure.measurements[1].part == Approx(0.36).margin(0.02));
  CHECK(sure.measurements[2].part == Approx(0).margin(0.003));
  CHECK(sure.wrong_now == Approx(1 - phi(0.5)).margin(0.016));
  // with number 2 known the mean is N(-0.05, 0.08^2) and what is left N(0, 0.06^2): by simulation
  boost::random::mt19937_64 engine(7);
  boost::random::normal_distribution<double> normal;
  double wrong = 0;
  for (int i = 0; i < 200000; ++i)
    wrong += phi(-std::abs(-0.05 + 0.08 * normal(engine)) / 0.06) / 200000;
  CHECK(sure.measurements[0].wrong_after == Approx(wrong).margin(0.016));
  CHECK(sure.measurements[2].wrong_after == Approx(sure.wrong_now).margin(0.003));
}

TEST_CASE("numbers without meaning tell nothing of few feet", "[sure]") {
  const MadeUp made{30, [](const Foot &z) { return 0.1 * z[0]; }, [](const Foot &) { return 1; }, {}};
  FootSample s = made.sample(60, 8);
  for (std::size_t j = 1; j < 30; ++j)
    s.numbers[j].measured_by = "way of many";
  const Sureness sure = how_sure(s);
  for (const Measurement &m : sure.measurements)
    CHECK(m.part == Approx(m.words == "way 1" ? 1 : 0).margin(m.words == "way 1" ? 0.001 : 0.3));
}

TEST_CASE("what is published moves the feet as a normal likelihood does", "[sure]") {
  // Prior z ~ N(0, 1), seen = 2 z with deviation 1 and mean 3: posterior N(2 * 3 / 5, 1 / 5); conjugate normal, e.g. Gelman et
  // al., Bayesian Data Analysis, section 2.5 (from memory).
  const MadeUp made{2, [](const Foot &z) { return 0.1 * z[0]; }, [](const Foot &) { return 0.3; },
                    [](const Foot &z) { return 2 * z[0]; }};
  FootSample s = made.sample(20000, 2);
  s.published[0] = {"seen", "made up", 3, 1};
  Sureness sure = how_sure(s);
  REQUIRE(sure.why_not.empty());
  CHECK(sure.evidence[0].before == Approx(0).margin(0.05));
  CHECK(sure.evidence[0].before_deviation == Approx(2).margin(0.05));
  CHECK(sure.evidence[0].after == Approx(2.4).margin(0.05));
  CHECK(sure.evidence[0].after_deviation == Approx(2 / std::sqrt(5)).margin(0.04));
  CHECK(sure.pair(1, 0).less == Approx(phi(-1.2 * std::sqrt(5))).margin(0.003));
  // sum(w)^2 / sum(w^2) of w = exp(-(2 z - 3)^2 / 2): E[w]^2 / E[w^2] with both by completing the square
  const auto mean_of = [](double k) { return std::exp(-9 * k / (2 * (1 + 4 * k))) / std::sqrt(1 + 4 * k); };
  CHECK(sure.effective / 20000 == Approx(std::pow(mean_of(1), 2) / mean_of(2)).epsilon(0.06));
  // feet drawn about 1 instead, and told so: N(z - 1) over N(z) = exp(z - 1/2)
  for (SolvedFoot &f : s.feet) {
    f.z[0] += 1;
    f.outputs = made.outputs(f.z);
    f.log_proposal = f.z[0] - 0.5;
  }
  const double before = sure.effective;
  sure = how_sure(s);
  CHECK(sure.evidence[0].after == Approx(2.4).margin(0.05));
  CHECK(sure.evidence[0].before == Approx(0).margin(0.1));
  CHECK(sure.pair(1, 0).less == Approx(phi(-1.2 * std::sqrt(5))).margin(0.003));
  CHECK(sure.effective > 1.5 * before);
  s.published[0].mean = 60;
  CHECK(how_sure(s).why_not.find("what is published of walking leaves as much as") != std::string::npos);
}

TEST_CASE("model and mesh add their doubt, each told alone", "[sure]") {
  const MadeUp made{
      1, [](const Foot &) { return -0.04; }, [](const Foot &z) { return 0.5 + 0.01 * z[0]; }, {}};
  FootSample s = made.sample(100, 3);
  FootOutputs other = s.base;
  other.strain[1] *= std::exp(0.12);
  s.model = {{"posture", {{"kept", other}}}};
  Sureness sure = how_sure(s);
  CHECK(sure.pair(1, 0).less == Approx(0.5).margin(0.015)); // one of two answers
  CHECK(sure.pair(1, 0).model == Approx(6).margin(0.1));
  CHECK(sure.pair(1, 0).person == Approx(0).margin(1e-6));
  s.model[0].others.push_back({"not solved", s.base});
  s.model[0].others[1].outputs.strain[1] = std::nan("");
  CHECK(how_sure(s).pair(1, 0).model == Approx(6).margin(0.1)); // an answer that nobody knows says nothing
  s.model.clear();
  s.meshes.clear();
  for (const double change :
       {0.01, 0.03, 0.02, 0.02}) // of ln(pad / plain) from coarse to fine; bar: twice that
    s.meshes.push_back(
        {{2000, 1900, 3000}, {2100, 1900 * 1.05 * std::exp(change), 3000 * 1.05 * std::exp(2 * change)}});
  sure = how_sure(s);
  const double variance = 2e-4 / 3 * 1.25 + 0.02 * 0.02 / 9; // of one foot more, and a third of the mean
  CHECK(sure.pair(1, 0).mesh == Approx(100 * std::sqrt(variance)).epsilon(0.05));
  CHECK(sure.pair(2, 0).mesh == Approx(200 * std::sqrt(variance)).epsilon(0.05));
  CHECK(sure.pair(2, 1).mesh == Approx(100 * std::sqrt(variance)).epsilon(0.05)); // they change together
  CHECK(sure.pair(1, 0).median == Approx(100 * std::expm1(-0.02)).margin(0.15));
  s.meshes.clear(); // no foot was solved on both: what other designs showed
  CHECK(how_sure(s).pair(1, 0).mesh == Approx(100 * coarse_pair_strain / 2).epsilon(0.05));
}

TEST_CASE("designs that are alike share their places", "[sure]") {
  const MadeUp made{1, [](const Foot &) { return 0; }, [](const Foot &) { return 0; }, {}};
  FootSample s = made.sample(50, 6);
  s.meshes = {{{2000, 2000, 2000}, {2100, 2100, 2100}}};
  const Sureness sure = how_sure(s);
  for (std::size_t d = 0; d < 3; ++d)
    for (std::size_t r = 0; r < 3; ++r)
      CHECK(sure.rank[d][r] == Approx(1 / 3.0));
  CHECK(sure.pair(1, 0).less == Approx(0.5));
}

TEST_CASE("feet are drawn where what is published has them, and weigh so that people come back", "[sure]") {
  // seen = 3 z1 + 2 z2 + z3 of 30 numbers, published -4 +- 1: of people seen ~ N(0, 14), so weighed it is N(-4 * 14 / 15, 14 / 15)
  const MadeUp made{30, [](const Foot &z) { return 0.1 * z[0]; }, [](const Foot &) { return 0.3; },
                    [](const Foot &z) { return 3 * z[0] + 2 * z[1] + z[2] + 0.3 * z[3] * z[4]; }};
  FootSample s = made.sample(60, 3);
  s.published[0] = {"seen", "made up", -4, 1};
  Proposal proposal(s.feet, s.published);
  CHECK(proposal.missed()[0] < 0.2);
  std::vector<Foot> pool;
  for (const SolvedFoot &f : made.sample(20000, 4).feet)
    pool.push_back(f.z);
  const double blind = how_sure(s).effective / 60;
  s.feet.clear();
  std::vector<std::size_t> places;
  for (const DrawnFoot &f : proposal.draw(pool, 1500, 5)) {
    s.feet.push_back({pool[f.place], made.outputs(pool[f.place]), f.log_proposal(1500), false});
    places.push_back(f.place);
  }
  std::sort(places.begin(), places.end());
  CHECK(std::adjacent_find(places.begin(), places.end()) == places.end());
  const Sureness sure = how_sure(s);
  REQUIRE(sure.why_not.empty());
  const double n = s.feet.size();
  CHECK(sure.evidence[0].after == Approx(-4 * 14.1 / 15.1).margin(0.1));
  CHECK(sure.evidence[0].after_deviation == Approx(std::sqrt(14.1 / 15.1)).margin(0.08));
  CHECK(sure.evidence[0].before ==
        Approx(0).margin(0.5)); // people as they are, from the few feet that stand for many
  CHECK(sure.effective / n > 0.35);
  CHECK(sure.effective / n > 2.5 * blind);
  // z1 given seen: N(3 / 15 * -4, 1 - 9 / 15)
  CHECK(sure.pair(1, 0).less == Approx(phi(0.8 / std::sqrt(0.4))).margin(0.04));
  // designs of feet that weigh little are left out by chance: the same answer from fewer
  std::vector<double> weight;
  for (const SolvedFoot &f : s.feet)
    weight.push_back(std::exp(log_likelihood(f.outputs.evidence, s.published) - f.log_proposal));
  const double level = thinning_level(weight, std::vector<double>(weight.size(), 1), 5);
  FootSample thinned = s;
  boost::random::mt19937_64 engine(8);
  boost::random::uniform_01<double> luck;
  for (std::size_t i = 0; i < s.feet.size(); ++i) {
    thinned.feet[i].kept = chance_kept(weight[i], level);
    thinned.feet[i].only_barefoot = luck(engine) > thinned.feet[i].kept;
    if (thinned.feet[i].only_barefoot)
      thinned.feet[i].outputs.strain.assign(3, std::nan(""));
  }
  const Sureness fewer = how_sure(thinned);
  CHECK(fewer.tried == sure.tried);
  CHECK(fewer.solved < 0.8 * n);
  // what a foot told costs less: walked once and five designs, for each of the feet that count
  CHECK((n + 5 * fewer.solved) / fewer.effective < 0.9 * 6 * n / sure.effective);
  CHECK(fewer.pair(1, 0).less == Approx(sure.pair(1, 0).less).margin(3 * fewer.error_of(0.5)));
  CHECK(fewer.evidence[0].after == Approx(sure.evidence[0].after));
  // by hand: level 1 costs 7.05 * 1.01, level 0.01 costs 12 * 1.0001
  CHECK(thinning_level({1, 0.01}, {1, 1}, 5) == 1);
  CHECK(thinning_level({1, 0.9}, {1, 1}, 0) == 0.9); // walking costs as much as all: none is left out
  CHECK(chance_kept(0.3, 0.6) == Approx(0.5));
  CHECK(chance_kept(0.7, 0.6) == 1);
  const DrawnFoot twice{0, 2, {3, 8}};
  CHECK(twice.log_proposal(5) == Approx(std::log(2.0)));
  CHECK(twice.log_proposal(9) == Approx(0).margin(1e-12));
  // numbers that say nothing of it: people's feet
  for (SolvedFoot &f : s.feet)
    f.outputs.evidence[0] = 7;
  CHECK(Proposal(s.feet, s.published).missed()[0] == 1);
  for (const DrawnFoot &f : Proposal(s.feet, s.published).draw(pool, 50, 1))
    CHECK(f.density == Approx(1));
}

TEST_CASE("nothing is said of too few feet, of designs that are not carried, of lists that do not agree",
          "[sure]") {
  const MadeUp made{
      2, [](const Foot &z) { return 0.1 * z[0]; }, [](const Foot &z) { return 0.1 * z[1]; }, {}};
  FootSample s = made.sample(11, 4);
  CHECK(how_sure(s).why_not.find("11 feet were solved") == 0);
  for (SolvedFoot &f : (s = made.sample(40, 4)).feet)
    f.only_barefoot = true;
  CHECK(how_sure(s).why_not.find("0 feet were solved") == 0);
  s = made.sample(40, 4);
  for (std::size_t i = 0; i < 30; ++i)
    s.feet[i].outputs.strain = {std::nan(""), 1, 1}; // the reference does not carry
  CHECK(how_sure(s).why_not.find("too few of the feet") == 0);
  CHECK(how_sure(made.sample(12, 4)).why_not.empty());
  s = made.sample(40, 4);
  for (std::size_t i = 0; i < 40; ++i)
    if (i % 4 > 0)
      s.feet[i].outputs.strain[2] = std::nan("");
  const Sureness sure = how_sure(s);
  REQUIRE(sure.why_not.empty());
  CHECK(sure.order.size() == 2);
  CHECK(sure.effective == Approx(40)); // the bar is left out, the feet are not
  CHECK_THAT(sure_note(sure), Catch::Matchers::Contains("40 feet were drawn"));
  CHECK(sure.cautions[2].not_carried == Approx(0.75));
  CHECK_THROWS_AS(sure.pair(2, 0), std::out_of_range);
  CHECK(nlohmann::json::parse(sure_json(sure).dump())["designs"].size() == 3);
  s.feet[3].z.pop_back();
  CHECK_THROWS_AS(how_sure(s), std::invalid_argument);
}

TEST_CASE("stated chances are right as often as they say, for simulated patients", "[sure]") {
  // Curved, with a kink; numbers 4 and 5 cannot be seen.
  const MadeUp made{
      5, [](const Foot &z) { return -0.08 + 0.07 * z[0] + 0.03 * z[1] * z[1] + 0.05 * std::abs(z[3]); },
      [](const Foot &z) { return 0.02 - 0.04 * z[2] + 0.05 * z[0] * z[4]; },
      [](const Foot &z) { return z[0] + 0.5 * z[2]; }};
  FootSample s = made.sample(400, 5);
  FootOutputs other = s.base;
  other.strain[1] *= std::exp(0.05);
  s.model = {{"posture", {{"kept", other}}}};
  for (const double change : {0.01, -0.02, 0.02, -0.01})
    s.meshes.push_back({{2000, 1900, 2100}, {2000, 1900 * std::exp(change), 2100}});
  boost::random::mt19937_64 engine(11);
  boost::random::normal_distribution<double> normal;
  struct Said {
    double chance;
    bool true_of_patient;
  };
  std::vector<Said> said;
  int silent = 0;
  for (int patient = 0; patient < 500; ++patient) {
    Foot z;
    for (int j = 0; j < 5; ++j)
      z.push_back(std::clamp(normal(engine), -3.0, 3.0));
    s.published[0].mean = made.evidence(z) + normal(engine); // what is published is about feet like this one
    const double kept = boost::random::uniform_int_distribution<int>(0, 1)(engine) * 0.05;
    const double pad = made.a(z) + kept + 0.02 * normal(engine), bar = made.b(z);
    const Sureness sure = how_sure(s, patient + 1);
    if (!sure.why_not.empty()) { // a patient unlike all feet: nothing is said
      ++silent;
      continue;
    }
    said.push_back({sure.pair(1, 0).less, pad < 0});
    said.push_back({sure.pair(1, 2).less, pad < bar});
  }
  CHECK(silent <= 10);
  const auto brier = [&](const std::function<double(double)> &change) {
    double sum = 0;
    for (const Said &x : said)
      sum += std::pow(change(x.chance) - x.true_of_patient, 2) / said.size();
    return sum;
  };
  /// Largest distance of a fifth of the statements, by their chance, from what was true of them, in its standard errors.
  const auto worst_bin = [&](const std::function<double(double)> &change) {
    std::vector<Said> by = said;
    std::sort(by.begin(), by.end(), [](const Said &x, const Said &y) { return x.chance < y.chance; });
    double worst = 0;
    for (std::size_t bin = 0; bin < 5; ++bin) {
      double stated = 0, happened = 0, variance = 0;
      for (std::size_t i = bin * by.size() / 5; i < (bin + 1) * by.size() / 5; ++i) {
        const double p = std::clamp(change(by[i].chance), 1e-3, 1 - 1e-3);
        stated += p;
        happened += by[i].true_of_patient;
        variance += p * (1 - p);
      }
      worst = std::max(worst, std::abs(stated - happened) / std::sqrt(variance));
    }
    return worst;
  };
  const auto as_said = [](double p) { return p; };
  double rate = 0;
  for (const Said &x : said)
    rate += double(x.true_of_patient) / said.size();
  INFO("Brier " << brier(as_said) << ", of the base rate alone " << rate * (1 - rate) << ", worst fifth "
                << worst_bin(as_said));
  CHECK(brier(as_said) < 0.85 * rate * (1 - rate)); // it says more than how often it is true of people
  CHECK(worst_bin(as_said) < 3);
  // one that is twice as sure, or half as sure, is found out
  const auto odds = [](double power) {
    return [power](double p) {
      const double a = std::pow(p, power), b = std::pow(1 - p, power);
      return a / (a + b);
    };
  };
  CHECK(worst_bin(odds(2)) > 3);
  CHECK(worst_bin(odds(0.5)) > 3);
  CHECK(brier(odds(2)) > brier(as_said));
  CHECK(brier(odds(0.5)) > brier(as_said));
}

TEST_CASE("how sure stands in answer, summary, JSON and page, with the same numbers", "[sure]") {
  const MadeUp made{2,
                    [](const Foot &z) { return -0.05 + 0.1 * z[0]; },
                    [](const Foot &z) { return 0.2 + 0.1 * z[1]; },
                    {}};
  ReportInput in = three_designs();
  in.sure = how_sure(made.sample(400, 9));
  const std::vector<RankedDesign> ranking = rank_designs(in);
  const std::string json = summary_json(in, ranking), words = summary_text(in, ranking, {}),
                    details = details_text(in, ranking, {}), page = report_page(in, ranking, json, "");
  using Catch::Matchers::Contains;
  const int less = std::lround(100 * in.sure->pair(1, 0).less),
            least = std::lround(100 * in.sure->rank[1][0]);
  CHECK_THAT(answer_text(answer(in, ranking)),
             Contains("Of feet that fit this patient, " + std::to_string(less) +
                      " in 100 have less strain with it than with the reference") &&
                 Contains("best of all designs for " + std::to_string(least) + " in 100"));
  CHECK_THAT(words, Contains("## How sure") && Contains("What would settle most") && Contains("way 1"));
  CHECK_THAT(details, Contains("person") && Contains("Slip of the skin is not in the model"));
  const auto sure = nlohmann::json::parse(json)["sure"];
  CHECK(sure["designs"][1]["rank_percent"][0] == 100 * in.sure->rank[1][0]);
  CHECK(sure["pairs"][1]["less_percent"] == 100 * in.sure->pair(1, 0).less);
  CHECK_THAT(page, Contains("id=\"sure\"") && Contains("data-key=\"/sure/pairs/1/less_percent\"") &&
                       Contains("Chances of every rank"));
  in.sure = how_sure(made.sample(5, 9));
  CHECK_THAT(answer_text(answer(in, ranking)),
             Contains("How sure that is cannot be said: 5 feet were solved"));
  CHECK_THAT(report_page(in, ranking, summary_json(in, ranking), ""),
             Contains("cannot be said: 5 feet were solved"));
  in.sure.reset();
  CHECK_THAT(summary_text(in, ranking, {}), !Contains("How sure"));
}

TEST_CASE("the two limits of posture stand in the report where they disagree about the order", "[sure]") {
  const MadeUp made{1, [](const Foot &) { return -0.10; }, [](const Foot &) { return 0.05; }, {}};
  FootSample s = made.sample(5, 9); // too few for chances: this is known without them
  FootOutputs kept = s.base, moments = s.base;
  kept.strain[1] *= 1.01;
  s.model = {{posture_question, {{"kept", kept}, {"moments kept", moments}}}};
  ReportInput in = three_designs();
  in.sure = how_sure(s);
  CHECK(in.sure->own_order == std::vector<std::size_t>{1, 0, 2});
  CHECK(model_sentence(in) == "At the case's own numbers on the coarse mesh, least strain first: B, A, C. No "
                              "answer to what the model leaves open turns two "
                              "designs that differ by more than 2 %. Posture kept and moments kept, the two "
                              "limits of how people take another insole, "
                              "agree.");
  s.model[0].others[1].outputs.strain[1] *= std::exp(0.13); // 3 % above the reference
  in.sure = how_sure(s);
  CHECK(
      model_sentence(in) ==
      "At the case's own numbers on the coarse mesh, least strain first: B, A, C. What the model leaves open "
      "turns the order: posture when the insole changes, moments kept: A, B, C.");
  const std::vector<RankedDesign> ranking = rank_designs(in);
  using Catch::Matchers::Contains;
  CHECK_THAT(summary_json(in, ranking), Contains("\"turned\": true"));
  CHECK_THAT(report_page(in, ranking, summary_json(in, ranking), ""), Contains("moments kept: A, B, C"));
  s.model[0].others[1].outputs.strain[1] *= std::exp(-0.015); // within what the coarse mesh leaves open
  in.sure = how_sure(s);
  CHECK_FALSE(in.sure->model_orders[1].turned);
}

TEST_CASE("whiskers and ranks show the whole doubt where it is known", "[sure]") {
  const MadeUp made{1, [](const Foot &z) { return 0.3 * z[0]; }, [](const Foot &) { return 0.9; }, {}};
  ReportInput in = three_designs();
  in.outcomes[2].with = result(-1400); // the mesh tells all three apart
  REQUIRE(rank_designs(in)[0].worst_rank == 1);
  const std::string plain = report_page(in, rank_designs(in), summary_json(in, rank_designs(in)), "");
  in.sure = how_sure(made.sample(400, 9));
  const std::vector<RankedDesign> ranking = rank_designs(in);
  const std::string page = report_page(in, ranking, summary_json(in, ranking), "");
  // of "pad" (1200 +- 20 ue): nine in ten of exp(0.3 N(0, 1)) on the reference's 1500 ue, in per cent of the largest end drawn
  const PairChance p = in.sure->pair(1, 0), bar = in.sure->pair(2, 0);
  const double top = 1500 * (1 + std::max(p.high, bar.high) / 100);
  char end[40];
  std::snprintf(end, sizeof end, "M%.2f 5H", 100 * 1500 * (1 + p.low / 100) / top);
  CHECK(page.find(end) != std::string::npos);
  CHECK(plain.find(end) == std::string::npos);
  CHECK(page.find("nine in ten over patient, model and mesh") != std::string::npos);
  CHECK(plain.find("nine in ten over patient") == std::string::npos);
  const auto of_pad =
      std::find_if(ranking.begin(), ranking.end(), [](const RankedDesign &d) { return d.place == 1; });
  CHECK(of_pad->best_rank == 1);
  CHECK(of_pad->worst_rank == 2); // it strains more than the reference in half of the feet
  // of a whole day: its ranks, and no activity's
  DayInput day;
  in.activity.name = "walk";
  in.activity.activity.steps_per_hour = 2000;
  in.activity.hours_per_day = 2;
  in.sure->of_day = true;
  day.activities = {in};
  CHECK(rank_day(day).of(1).worst_rank == 2);
  CHECK(rank_designs(in)[0].worst_rank == 1);
  day.activities[0].sure.reset();
  CHECK(rank_day(day).of(1).worst_rank == 1);
}

TEST_CASE("every number that is drawn moves the case, and what was measured moves less", "[sure]") {
  for (const std::string file : {"warehouse", "runner", "three-quarter", "standing", "shift"}) {
    INFO(file);
    const Case whole = read_case(std::string(RAYBEND_SOURCE_DIR) + "/cases/" + file + ".toml");
    const Case c = at_instants(whole, std::vector<std::size_t>(whole.day.size(), 0));
    const std::vector<Uncertain> numbers = uncertain_numbers(c);
    CHECK(numbers.size() > 40);
    const std::vector<double> still(numbers.size(), 0);
    const auto text = [](const Case &of) { // all that a solve hangs on
      std::string all;
      for (const Ray &r : of.foot.rays)
        for (const double x : {r.head_behind_mt2, r.declination_deg, r.tissue_under_head, r.mobility_deg,
                               r.length, r.shaft_height, r.shaft_width, r.cortex, r.fascia_share,
                               r.flexor_share, r.toe_share, r.arch_rise})
          all += std::to_string(x) + " ";
      const FootMaterials &m = of.foot.materials;
      for (const double x :
           {of.foot.body_mass_kg, of.foot.ankle_roll_stiffness, of.foot.ankle_pitch_stiffness, m.tissue_mu,
            m.fascia_stiffness, m.joint_moment, m.cortical_e})
        all += std::to_string(x) + " ";
      for (std::size_t a = 0; a < of.day.size(); ++a) {
        all += std::to_string(force_line_medial(of.foot, of.day[a].activity));
        for (const Design &d : of.designs)
          all += solve_key(of, a, d);
      }
      return all;
    };
    const std::string before = text(moved_case(c, numbers, still));
    CHECK((before == text(c)));
    for (std::size_t j = 0; j < numbers.size(); ++j) {
      INFO(numbers[j].number.name);
      CHECK(numbers[j].number.deviation > 0);
      std::vector<double> z = still;
      z[j] = 1;
      const Case other = moved_case(c, numbers, z);
      bool same = text(other) == before;
      for (std::size_t a = 0; a < c.day.size(); ++a)
        same &= same_loads(c.day[a], other.day[a]);
      CHECK_FALSE(same);
      for (const double end : {-3.0, 3.0}) { // stays a foot: shares sum to 1
        z[j] = end;
        const Case moved = moved_case(c, numbers, z);
        for (double Ray::*share : {&Ray::fascia_share, &Ray::flexor_share, &Ray::toe_share}) {
          double sum = 0;
          for (const Ray &r : moved.foot.rays)
            sum += r.*share;
          CHECK(sum == Approx(1));
        }
      }
    }
  }
  // a foot form is no measurement; an activity's number and the arch are found wherever they were given
  const std::string warehouse = std::string(RAYBEND_SOURCE_DIR) + "/cases/warehouse.toml";
  const auto measured = [&](const std::vector<std::string> &sets, const std::string &name) {
    const Case given = at_instants(read_case(warehouse, sets), {0});
    for (const Uncertain &u : uncertain_numbers(given))
      if (u.number.name == name)
        return u.number.measured;
    throw std::logic_error("no number " + name);
  };
  CHECK_FALSE(measured({"patient.foot_form=high-arch"}, "declination, deg, of ray 2"));
  CHECK(measured({"patient.ray2.declination_deg=18"}, "declination, deg, of ray 2"));
  CHECK_FALSE(measured({}, "rise of the arch at ray 2, mm"));
  CHECK(measured({"patient.arch_rise_mm=14"}, "rise of the arch at ray 2, mm"));
  CHECK_FALSE(measured({}, "heel rise, deg"));
  CHECK(measured({"activity.at_percent=80", "activity.heel_rise_deg=12"}, "heel rise, deg"));
  const Case standing = read_case(std::string(RAYBEND_SOURCE_DIR) + "/cases/standing.toml");
  for (const Uncertain &u : uncertain_numbers(standing))
    CHECK(u.number.name != "heel rise, deg"); // nobody stands on a drawn heel
  const Case c = read_case(warehouse);
  for (const Uncertain &u : uncertain_numbers(c)) {
    if (u.number.name == "skin, mm, under head 2") { // given in the case, by ultrasound
      CHECK(u.number.measured);
      CHECK(u.number.deviation == 0.5);
      CHECK(u.number.value == 13.5);
    }
    if (u.number.name == "skin, mm, under head 3") {
      CHECK_FALSE(u.number.measured);
      CHECK(u.number.deviation == Approx(8 / 5.0)); // usual 8 to 16 mm
    }
  }
}
