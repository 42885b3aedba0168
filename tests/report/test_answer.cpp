// The answer in words: what a design relieves, where the load goes, what cannot be trusted.
#include "postprocess/files/tables.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/load_words.hpp"
#include "postprocess/words/painful.hpp"
#include "postprocess/words/summary.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/warnings.hpp"
#include "tests/report/coarse_pairs.hpp"
#include "tests/sample_results.hpp"
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <utility>

using namespace raybend;
using Catch::Matchers::Contains;
using Catch::Matchers::EndsWith;
using Catch::Matchers::StartsWith;

namespace {

std::string answered(const ReportInput &in) {
  return answer_text(answer(in, rank_designs(in)));
}

} // namespace

TEST_CASE("rises above five percent are named with their place", "[ranking]") {
  ReportInput in = three_designs();
  DesignResult &pad = in.outcomes[1].with;
  pad.ray[2].peak_strain.value = 880; // +10 %, beyond the bands
  pad.ray[3].peak_strain.value = 832; // +4 %: not worth a word
  pad.ray[4].head_peak_pressure.value = 230;
  pad.ray[1].shaft_peak_pressure.value = 90;
  const auto shifts = rank_designs(in)[0].from_unsupported->shifts;
  REQUIRE(shifts.size() == 3);
  CHECK(shifts[0].kind == LoadKind::ray_strain);
  CHECK(shifts[0].ray == 3);
  CHECK(shifts[0].percent == Approx(10));
  CHECK(shifts[0].beyond_band == true);
  CHECK(shifts[1].kind == LoadKind::head_pressure);
  CHECK(shifts[1].ray == 5);
  CHECK(shifts[2].kind == LoadKind::shaft_pressure);
  CHECK(shifts[2].ray == 2);
  CHECK(shift_words(shifts) == "ray 3 strain 800 to 880 ue (+10 %), head 5 pressure 200 to 230 kPa (+15 %) "
                               "and shaft 2 pressure 20 to 90 kPa "
                               "(+350 %)");
  CHECK(shift_words({}) == "nowhere by more than 5 % (looked at: strain of the other rays, forces "
                           "on heads, shafts and toes above 2 N, peak pressures above 5 kPa)");
}

TEST_CASE("a head that carries more is where the load goes, whatever its pressure", "[ranking]") {
  ReportInput in = three_designs();
  in.outcomes[1].with.ray[2].head_force.value = 110; // of 100 N, over a larger area
  const auto shifts = rank_designs(in)[0].from_unsupported->shifts;
  REQUIRE(shifts.size() == 1);
  CHECK(shift_words(strongest_shifts(shifts)) == "head 3 force 100 to 110 N (+10 %)");
}

TEST_CASE("a great toe that carries more, or less, is named", "[ranking]") {
  ReportInput in = three_designs();
  double &with = in.outcomes[1].with.ray[0].toe_load;
  in.outcomes[1].without.ray[0].toe_load = 60;
  with = 54;
  CHECK_THAT(relief_words(telling_reliefs(rank_designs(in)[0].from_unsupported->reliefs, 2)),
             Contains("toe 1 force 60 to 54 N (-10 %)"));
  with = 66;
  CHECK(shift_words(strongest_shifts(rank_designs(in)[0].from_unsupported->shifts)) ==
        "toe 1 force 60 to 66 N (+10 %)");
}

TEST_CASE("a shaft that carries more is where the load goes, though its pressure falls", "[ranking]") {
  ReportInput in = three_designs();
  DesignResult &pad = in.outcomes[1].with, &without = in.outcomes[1].without;
  const double before[] = {10, 12, 14, 16, 1.5}, after[] = {10.4, 22.2, 14, 16, 1.9};
  for (int r = 0; r < 5; ++r) {
    without.ray[r].shaft_force = before[r];
    pad.ray[r].shaft_force = after[r];
    without.ray[r].shaft_peak_pressure.value = 40;
    pad.ray[r].shaft_peak_pressure.value = 20;
  }
  const auto told = [&in] {
    const auto ranking = rank_designs(in);
    return shift_words(strongest_shifts(ranking[0].from_unsupported->shifts));
  };
  CHECK(told() == "shaft 2 force 12 to 22 N (+85 %)"); // shaft 1 by 4 %, shaft 5 below 2 N
  const auto j = nlohmann::json::parse(summary_json(in, rank_designs(in)));
  const auto &shift = j["ranking"][0]["from_without_support"]["load_went_to"][0];
  CHECK(shift["quantity"] == "shaft_force_n");
  CHECK(shift["after"] == 22.2);
  CHECK(shift["beyond_band"].is_null()); // no band is known
  pad.ray[0].shaft_force = 12;
  CHECK(told() == "shaft 2 force 12 to 22 N (+85 %)"); // the stronger one of two
  pad.ray[3].shaft_force = 20;
  CHECK(told() == "force on the shafts of rays 1, 2 and 4 together from 38 to 54 N (+43 %)");
  for (RayResult &ray : pad.ray)
    ray.shaft_force = 22.6;
  CHECK(told() == "force on the shafts of rays 1 to 5 together from 54 to 113 N (+111 %)");
  // as much back again: the shafts' relief is told where no head's fell
  std::swap(in.outcomes[1].with, in.outcomes[1].without);
  for (RayResult &ray : in.outcomes[1].with.ray)
    ray.shaft_peak_pressure.value = 20;
  for (const RankedDesign &d : rank_designs(in))
    if (d.place == 1)
      CHECK(relief_words(telling_reliefs(d.from_unsupported->reliefs, 2)) ==
            "force on the shafts of rays 1 to 5 together from 113 to 54 N (-53 %)");
}

TEST_CASE("the least strain is that of the designs that can be ranked", "[summary]") {
  ReportInput in = three_designs();
  CHECK_THAT(answered(in), StartsWith("\"Title of pad\" leaves the least strain in ray 2, "));
  in.outcomes[2].with.converged = in.outcomes[2].without.converged = false;
  CHECK_THAT(
      answered(in),
      StartsWith("Of the designs that can be ranked, \"Title of pad\" leaves the least strain in ray 2, "));
}

TEST_CASE("what is told in short says that there is more", "[summary]") {
  ReportInput in = three_designs();
  DesignResult &pad = in.outcomes[1].with;
  pad.ray[2].head_force.value = 60; // of 100 N
  const auto told = [&in] { return short_load_words(*rank_designs(in)[0].from_unsupported, 2); };
  CHECK_THAT(told(), StartsWith("load goes to: nowhere by more than 5 % (") &&
                         EndsWith("; relieved: head 3 force 100 to 60 N (-40 %)."));
  pad.ray[3].head_force.value = 80; // the head that loses most is told
  CHECK_THAT(told(), StartsWith("load goes to: nowhere") &&
                         EndsWith("; relieved, among others: head 3 force 100 to 60 N (-40 %). All changes "
                                  "stand in the table above."));
  CHECK_THAT(answered(in), Contains("They relieve, among others: head 3 force 100 to 60 N (-40 %). Load goes "
                                    "nowhere beyond 5 % and its band."));
  pad.ray[0].head_force.value = 120;
  pad.ray[4].head_force.value = 130;
  CHECK_THAT(told(), StartsWith("most load goes to: head 5 force 100 to 130 N (+30 %); relieved, among"));
}

TEST_CASE("the table of changes holds the shafts' force", "[summary]") {
  ReportInput in = three_designs();
  for (int r = 0; r < 5; ++r) {
    in.outcomes[1].without.ray[r].shaft_force = r == 4 ? 0 : r == 3 ? 0.5 : 20;
    in.outcomes[1].with.ray[r].shaft_force = 37;
  }
  const std::string text = details_text(in, rank_designs(in), {});
  CHECK_THAT(text, Contains("| shaft force, % |") && Contains("|            +85 |") &&
                       Contains("|          > 999 |") && Contains("|         from 0 |"));
}

TEST_CASE("the ranking names the letters of the pictures", "[summary]") {
  const ReportInput in = three_designs();
  CHECK_THAT(ranking_table(in, rank_designs(in)),
             Contains("| B      | Title of pad ") && Contains("| A      | Title of flat (reference) |"));
}

TEST_CASE("the reading guide explains only what the summary has", "[summary]") {
  ReportInput in = three_designs();
  const auto guide = [&in] { return one_line(details_text(in, rank_designs(in), {})); };
  CHECK_THAT(guide(), Contains("M positive") && Contains("a number in brackets") && Contains("Share: of") &&
                          Contains("At: per cent"));
  in.outcomes = {outcome("flat", -1500)};
  CHECK_THAT(guide(), Contains("M positive") && !Contains("a number in brackets"));
  in.outcomes[0].with.converged = in.outcomes[0].without.converged = false;
  CHECK_THAT(guide(), !Contains("M positive") && !Contains("Share: of") && !Contains("At: per cent") &&
                          !Contains("Look at the dorsal"));
}

TEST_CASE("nothing is relieved only if nothing fell", "[ranking]") {
  ReportInput in = three_designs();
  in.outcomes[1].with.ray[3].shaft_peak_pressure.value = 10; // of 20 kPa, and all else stays
  const auto reliefs = rank_designs(in)[0].from_unsupported->reliefs;
  CHECK(relief_words(telling_reliefs(reliefs, 2)) == "shaft 4 pressure 20 to 10 kPa (-50 %)");
}

TEST_CASE("the reason says what there is to compare with, or why there is nothing", "[summary]") {
  // "pad" is best; its solve without support elements or the reference's may have failed.
  const auto said = [](const ReportInput &in) {
    const auto ranking = rank_designs(in);
    for (const RankedDesign &d : ranking)
      if (d.place == 1)
        return answer_text({reason_points(in, d), {}});
    return std::string();
  };
  ReportInput in = three_designs();
  CHECK_THAT(said(in), Contains("Its support elements change the peak strain of ray 2"));
  in.outcomes[0].with.converged = in.outcomes[0].without.converged = false;
  CHECK_THAT(said(in), Contains("Its support elements change the peak strain of ray 2"));

  in = three_designs();
  in.outcomes[1].without.converged = false;
  CHECK_THAT(
      said(in),
      Contains(
          "Its solve without its support elements did not converge; what follows is against the reference "
          "\"Title of flat\". It relieves"));
  in.reference = "pad";
  CHECK(said(in) ==
        "Its solve without its support elements did not converge, and the design is the reference: what "
        "the others relieve and "
        "load is told further down.");
  in.reference = "flat";
  in.outcomes[0].with.converged = in.outcomes[0].without.converged = false;
  CHECK(said(in) == "Its solve without its support elements did not converge, nor did the reference \"Title "
                    "of flat\": what the design "
                    "relieves and loads cannot be said.");

  in = three_designs();
  in.outcomes[1] = outcome("soft", -1200);
  CHECK_THAT(said(in), Contains("It has no support elements; what follows is against the reference"));
  in.reference = "soft";
  CHECK_THAT(said(in), Contains("It has no support elements and is the reference"));
  in.reference = "flat";
  in.outcomes[0].with.converged = in.outcomes[0].without.converged = false;
  CHECK(said(in) ==
        "It has no support elements, and the reference \"Title of flat\" did not converge: what the design "
        "relieves and loads cannot be said.");
}

TEST_CASE("warnings name what cannot be trusted", "[summary]") {
  ReportInput in = three_designs();
  in.warnings = {"value outside its range"};
  in.outcomes[0].with.ground_force = 690;
  in.outcomes[2].without.converged = false;
  in.outcomes[2].without.message = "stopped at 60 % of the load";
  for (StationResult &s : in.outcomes[1].with.ray[0].shaft) {
    s.moment_sagittal = 100;
    s.statics_moment_sagittal = 80;
  }
  const auto warnings = report_warnings(in, rank_designs(in));
  auto has = [&](const std::string &words) {
    return std::any_of(warnings.begin(), warnings.end(),
                       [&](const std::string &w) { return w.find(words) != std::string::npos; });
  };
  CHECK(has("value outside its range"));
  CHECK(has("\"Title of flat\": the ground returns 690.000 N of 700.000 N"));
  CHECK(has("without its support elements did not converge and is not ranked: stopped at 60 % of the load"));
  CHECK(has("B from C. A finer"));
  CHECK(has("differ from statics by up to 20.0 %"));
  CHECK(warnings.size() == 5);
}

TEST_CASE("warnings tell of numbers beyond what has been measured", "[summary]") {
  ReportInput in = three_designs();
  const auto count = [&](const std::string &words) {
    const auto warnings = report_warnings(in, rank_designs(in));
    return std::count_if(warnings.begin(), warnings.end(),
                         [&](const std::string &w) { return w.find(words) != std::string::npos; });
  };
  CHECK(count("beyond 4000 ue") == 0);
  CHECK(count("tissue compressed") == 0);
  CHECK(count("outside the part that counts") == 0);
  DesignResult &r = in.outcomes[1].with;
  r.ray[2].peak_strain.value =
      4200; // Pattin 1996 (from memory): rapid loss of modulus from 4000 ue compression
  r.ray[3].tissue_compression = 0.7; // Cavanagh 1999 (read): 35 to 55 %
  in.outcomes[2].with.ray[0].peak_strain.value = 4500;
  in.outcomes[2].with.ray[4].tissue_compression = 0.554; // 55 %: not beyond 55
  CHECK(count("from memory): B ray 3 (4200); C ray 1 (4500). Load, foot or model is out of its "
              "range. Ray 3 comes out more bent than published: compare designs on it") == 1);
  CHECK(count("beyond 4000 ue") + count("Beyond 4000 ue") == 1);
  CHECK(count("35 to 55 % published for walking: B head 4 (70 %).") == 1);
}

TEST_CASE("a larger strain nearer the joint is a warning, a smaller one is none", "[summary]") {
  ReportInput in = three_designs();
  RayResult &ray = in.outcomes[1].with.ray[1]; // peak 1200 ue; cuts at 0, 50 and 100 %
  ray.peak_strain_at_end = true;
  ray.peak_strain_at = 0.18;
  ray.shaft[0].strain_extreme = -1190;
  ray.shaft[2].strain_extreme = -1300; // at the other end of the bone
  CHECK(end_warnings(in).empty());
  ray.shaft[0].strain_extreme = -1250;
  REQUIRE(end_warnings(in).size() == 1);
  CHECK_THAT(
      end_warnings(in)[0],
      StartsWith(
          "Ray 2 is strained more outside the part that counts, between 15 and 85 % of the length: ") &&
          EndsWith("\"Title of pad\" 1250 ue at 0 % against 1200 ue at 18 %."));
  ray.peak_strain_at_end = false; // its largest strain stands within the shaft, with a fall to either side
  CHECK(end_warnings(in).empty());
}

TEST_CASE("coarse resolution is spoken of beside the answer", "[summary]") {
  ReportInput in = three_designs();
  CHECK_THAT(details_text(in, rank_designs(in), {}), !Contains("Coarse resolution"));
  in.resolved.push_back({"mesh.resolution", "coarse", "", "--set"});
  const std::string text = details_text(in, rank_designs(in), {});
  CHECK(text.find("Coarse resolution") > text.find("## Answer"));
  CHECK(text.find("Coarse resolution") < text.find("## Patient"));
  CHECK(text.find("Coarse resolution") == text.rfind("Coarse resolution"));
  CHECK_THAT(summary_json(in, rank_designs(in)), Contains("Coarse resolution"));
}

TEST_CASE("the answer begins with what is not told apart", "[summary]") {
  ReportInput in = three_designs(); // 1500 (the reference), 1200 and 1230 ue, bands 20
  CHECK_THAT(answered(in), StartsWith("\"Title of pad\" leaves the least strain in ray 2, 1200 ± 20 ue") &&
                               Contains("Not told apart from it at this mesh: \"Title of bar\"."));
  const auto bands = [&in](const double band) {
    for (DesignOutcome &o : in.outcomes)
      o.with.ray[1].peak_strain.band = band;
  };
  bands(200);
  CHECK_THAT(
      answered(in),
      StartsWith("No design is told apart from another by the strain in ray 2. The least is calculated for "
                 "\"Title of pad\": 1200 ± 200 ue") &&
          !Contains("leaves the least") && !Contains("Not told apart from it"));
  // The reference is told apart from a worse design only.
  in.outcomes[0].with.ray[1].peak_strain.value = 1250;
  in.outcomes[2].with.ray[1].peak_strain.value = 1500;
  bands(100);
  CHECK_THAT(answered(in),
             StartsWith("No design is told apart from the reference \"Title of flat\" as the better "
                        "one for ray 2. The least is calculated for \"Title of pad\": 1200") &&
                 Contains("Not told apart from it at this mesh: \"Title of flat\"."));
}

TEST_CASE("what the mesh tells apart and the model leaves open is named, with the heel up", "[summary]") {
  ReportInput in = three_designs(); // 1500 (the reference), 1200 and 1230 ue, bands 20
  in.outcomes[0].with.ray[1].peak_strain = {1360, 20};
  CHECK_THAT(answered(in), !Contains("within 15 %"));
  in.activity.activity.heel_rise_deg = 20;
  CHECK_THAT(answered(in),
             Contains("\"Title of flat\" is within 15 % of it: how far the ground pushes forward"));
  in.outcomes[0].with.ray[1].peak_strain.value = 1390;
  CHECK_THAT(answered(in), !Contains("within 15 %"));
}

TEST_CASE("the answer leaves out changes within their bands", "[summary]") {
  ReportInput in = three_designs();
  DesignResult &pad = in.outcomes[1].with;
  pad.ray[2].head_force = {90, 20};         // of 100 N
  pad.ray[4].head_peak_pressure = {300, 5}; // of 200 kPa
  pad.ray[0].peak_strain = {900, 200};      // of 800 ue
  CHECK_THAT(answered(in), Contains("They relieve nothing beyond 5 % and its band. Load goes to: head 5 "
                                    "pressure 200 to 300 kPa (+50 %).") &&
                               !Contains("within the bands"));
}

TEST_CASE("one column of percentages has one number of digits", "[summary]") {
  ReportInput in = three_designs();
  in.outcomes[1].with.ray[1].peak_strain.band = in.outcomes[0].with.ray[1].peak_strain.band = 10;
  // pad -20 %, band 100 (10 + 10) / 1500 = 1.3
  in.outcomes[2].with.ray[1].peak_strain.band = 40; // bar: 100 (40 + 10) / 1500 = 3.3
  CHECK_THAT(ranking_table(in, rank_designs(in)), Contains(" -20.0 ± 1.3 |") && Contains(" -18.0 ± 3.3 |"));
}

TEST_CASE("a percentage holds zero within its band exactly where two values are not told apart",
          "[summary]") {
  for (const double a : {424.0, 550.0, 681.0, 900.0, 1400.0})
    for (const double part : {0.05, 0.15, 0.2, 0.25, 0.35}) {
      const Banded value = {a, part * a}, reference = {681, part * 681};
      const Banded percent = percent_change(value, reference);
      INFO(a << ", bands " << part << ": " << percent.value << " +- " << percent.band);
      CHECK((std::abs(percent.value) > percent.band) == told_apart(value, reference));
    }
}

TEST_CASE("changes between designs at coarse resolution have the band that was seen from coarse to standard",
          "[summary]") {
  const auto coarse = [](double value) {
    Banded b{value, coarse_band * value};
    b.pair_part = coarse_pair_strain;
    return b;
  };
  const Banded percent = percent_change(coarse(1200), coarse(1000));
  CHECK(percent.value == Approx(20));
  CHECK(percent.band == Approx(100 * coarse_pair_strain * 1.2));
  for (const double a : {900.0, 940.0, 1060.0, 1075.0, 1200.0})
    for (const bool turned : {false, true}) {
      const Banded x = coarse(turned ? 1000 : a), y = coarse(turned ? a : 1000);
      INFO(a);
      CHECK(told_apart(x, y) == (std::abs(a - 1000) > coarse_pair_strain * std::min(a, 1000.0)));
    }
  CHECK_FALSE(
      told_apart(coarse(1200), {1000, 250})); // one of them of no known mesh: by the sum of both bands

  std::size_t pairs = 0, within = 0;
  double largest = 0;
  for (const CoarsePair &seen : coarse_pairs)
    for (std::size_t i = 0; i < seen.coarse.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        for (std::size_t r = 0; r < 5; ++r) {
          const double now = seen.standard[i][r] / seen.standard[j][r],
                       before = seen.coarse[i][r] / seen.coarse[j][r];
          ++pairs;
          within += std::abs(now / before - 1) <= coarse_pair_strain;
          largest = std::max(largest, std::abs(now / before - 1));
        }
  INFO(within << " of " << pairs << " changes lie within the band, the largest is " << largest);
  CHECK(pairs == 60);
  CHECK(within == pairs);
  CHECK(largest > 0.03); // a band that is far too wide would say nothing
}

TEST_CASE("skin that slides beyond a cell is warned of", "[summary]") {
  ReportInput in = three_designs();
  in.outcomes[1].with.ray[2].contact_slip = 4.26;
  in.outcomes[1].with.ray[2].contact_slip_cells = 0.99;
  CHECK_THAT(details_text(in, rank_designs(in), {}), !Contains("slides"));
  in.outcomes[1].with.ray[2].contact_slip_cells = 1.01;
  CHECK_THAT(details_text(in, rank_designs(in), {}),
             Contains("slides on the insole by more than a cell of the mesh: B up to 4.3 mm (ray 3)."));
}

TEST_CASE("a design whose heads hardly bear is warned of", "[summary]") {
  ReportInput in = three_designs();
  for (DesignOutcome &o : in.outcomes)
    for (RayResult &ray : o.with.ray)
      ray.shaft_force = 60;
  CHECK(range_warnings({&in}).empty());
  for (RayResult &ray : in.outcomes[2].with.ray)
    ray.head_force.value = 2;
  const std::vector<std::string> list = range_warnings({&in});
  REQUIRE(list.size() == 1);
  CHECK_THAT(list[0],
             Contains("Heads that hardly bear: C (heads 10 N, shafts 300 N). The model's midfoot settles "
                      "and rolls but does not pitch"));
}

TEST_CASE("falls above five percent are named with their place", "[summary]") {
  ReportInput in =
      three_designs(); // without the pad: 100 N and 200 kPa under each head, 800 ue in the other rays
  DesignResult &pad = in.outcomes[1].with;
  pad.ray[1].head_force.value = 80;          // -20 %, the painful ray's own
  pad.ray[1].head_peak_pressure.value = 150; // -25 %
  pad.ray[2].head_force.value = 60;          // -40 %: the head that loses most
  pad.ray[3].head_force.value = 70;          // -30 %
  pad.ray[4].head_peak_pressure.value = 196; // -2 %: not worth a word
  pad.ray[0].peak_strain.value = 600;        // -25 %
  pad.ray[3].peak_strain.value = 720;        // -10 %
  pad.ray[0].shaft_peak_pressure.value = 10; // -50 %
  const auto ranking = rank_designs(in);
  const Difference &d = *ranking[0].from_unsupported;
  CHECK(d.shifts.empty());
  REQUIRE(d.reliefs.size() == 7);
  for (const LoadShift &s : d.reliefs)
    CHECK(s.after < s.before);
  CHECK(relief_words(telling_reliefs(d.reliefs, 2)) ==
        "head 2 force 100 to 80 N (-20 %), head 2 pressure 200 to 150 kPa (-25 %), head 3 force 100 to 60 N "
        "(-40 %) and ray 1 strain 800 to 600 ue (-25 %)");
  CHECK_THAT(answered(in), Contains("They relieve, among others: head 2 force 100 to 80 N (-20 %)") &&
                               Contains(". Load goes nowhere beyond 5 % and its band."));
  CHECK_THAT(load_words(d), Contains("shaft 1 pressure 20 to 10 kPa (-50 %)"));
  CHECK_THAT(relief_words({}), Contains("nothing by more than 5 % (looked at: "));
  CHECK(telling_reliefs({}, 2).empty());
}

TEST_CASE("what a design without support elements relieves is told against the reference", "[summary]") {
  ReportInput in = three_designs();
  in.outcomes[1] = outcome("soft", -1100);
  in.outcomes[1].with.ray[1].head_peak_pressure.value = 120; // of 200
  CHECK_THAT(
      answered(in),
      Contains("It has no support elements; what follows is against the reference \"Title of flat\". It "
               "relieves: head 2 pressure 200 to 120 kPa (-40 %). Load goes nowhere"));
}

TEST_CASE("the answer names the strained side and what is beyond its range", "[summary]") {
  ReportInput in = three_designs();
  RayResult &painful = in.outcomes[1].with.ray[1];
  painful.peak_strain_towards = 100;
  CHECK_THAT(answered(in), Contains("1200 ± 20 ue (microstrain; compression on the medial side)") &&
                               !Contains("4000 ue") && !Contains("more bent than published"));
  painful.peak_strain_tensile = true;
  in.outcomes[1].with.ray[4].peak_strain.value = 4100;
  CHECK_THAT(answered(in),
             Contains("tension on the medial side)") &&
                 Contains("Beyond 4000 ue, which bone bears for some thousand cycles only: ray 5 "
                          "(4100). Ray 5 comes out more bent than published"));
  in.outcomes[1].with.ray[4].peak_strain.value = 3000;
  in.outcomes[1].with.ray[3].peak_strain.value = 4100;
  CHECK_THAT(answered(in), Contains("ray 4 (4100).") && !Contains("more bent than published"));
}

TEST_CASE("eight sides round a bone have names", "[summary]") {
  const char *const names[] = {"dorsal",  "dorsomedial",   "medial",  "plantomedial",
                               "plantar", "plantolateral", "lateral", "dorsolateral"};
  for (int i = 0; i < 8; ++i)
    for (const double off : {-22.0, 0.0, 22.0})
      CHECK(side_words(45 * i + off) == names[i]);
  CHECK(side_words(359) == "dorsal");
}

TEST_CASE("what --set changed stands in the report and on top of the case", "[summary]") {
  ReportInput in = three_designs();
  in.case_text = "title = \"Three\"\n";
  CHECK(case_echo(in) == in.case_text);
  in.changes = {"patient.side=left", "title=\"a\nb\""};
  CHECK(case_echo(in) == "# changed on the command line: patient.side=left\n"
                         "# changed on the command line: title=\"a b\"\ntitle = \"Three\"\n");
  CHECK_THAT(details_text(in, rank_designs(in), {}),
             Contains("## Changed on the command line") && Contains("- patient.side=left\n"));
}

TEST_CASE("further painful rays are told besides the ranking", "[answer][ranking]") {
  ReportInput in = three_designs();
  const std::size_t usual = answer(in, rank_designs(in)).sentences.size();
  in.foot.also_painful = {3, 4};
  in.outcomes[2].with.ray[2].peak_strain = {500, 5}; // the bar spares ray 3; "pad" leaves 800 ue there
  const std::vector<std::string> said = answer(in, rank_designs(in)).sentences;
  REQUIRE(said.size() == usual + 2);
  CHECK(said[usual] == "Ray 3 hurts too: \"Title of bar\" leaves least there, 500 ± 5 ue; \"Title of pad\" "
                       "leaves 60 ± 5 % more.");
  // of equal strains the first in the case stands first
  CHECK(said[usual + 1] == "Ray 4 hurts too: \"Title of flat\" leaves least there, 800 ± 20 ue; \"Title of "
                           "pad\" is not told apart from it.");
  in.outcomes[1].with.ray[3].peak_strain = {400, 5};
  CHECK(further_rays(in, rank_designs(in))[1] ==
        "Ray 4 hurts too: \"Title of pad\" leaves least there as well, 400 ± 5 ue.");
  CHECK(painful_words(in.foot) == "2; also painful: rays 3 and 4");
  in.foot.painful_place = PainfulPlace::neck;
  in.foot.also_painful = {3};
  CHECK(painful_words(in.foot) == "2, at its neck; also painful: ray 3");
  CHECK(counted_words(in.foot) == "65 and 85 %");
  CHECK(counted_part(in.foot, 3)[0] == 0.65);
  CHECK(counted_part(in.foot, 4)[0] == 0.15);
}
