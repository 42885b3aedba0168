// Ranking, words, tables, colours and the folder of results. Pictures: test_pictures.cpp.
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/canvas/colours.hpp"
#include "postprocess/compare/step.hpp"
#include "postprocess/files/tables.hpp"
#include "postprocess/page/drawings/step_chart.hpp"
#include "postprocess/pictures/patch_mesh.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/columns.hpp"
#include "postprocess/words/summary.hpp"
#include "postprocess/words/warnings.hpp"
#include "tests/report/lines.hpp"
#include "tests/sample_results.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <regex>

using namespace raybend;

TEST_CASE("percent change carries both bands", "[ranking]") {
  const Banded change = percent_change({90, 2}, {100, 3});
  CHECK(change.value == Approx(-10));
  CHECK(change.band == Approx(2 + 3)); // 100 (2 + 3) / 100
  CHECK(std::isnan(percent_change({1, 0}, {0, 0}).value));
}

TEST_CASE("bands that touch are not told apart", "[ranking]") {
  CHECK(told_apart({100, 4}, {110, 5}));
  CHECK_FALSE(told_apart({100, 5}, {110, 5}));
  CHECK_FALSE(told_apart({100, 0}, {100, 0}));
}

TEST_CASE("designs on the same meshes: the difference has a band of its own", "[ranking]") {
  // 100 and 110 on this mesh, 120 and 131 on the coarser one: the difference went from 11 to 10, though each
  // value moved by 20.
  const Banded a{100, 20, 120}, b{110, 21, 131};
  CHECK(told_apart(a, b));
  CHECK_FALSE(told_apart({100, 20, 120}, {110, 20, 119})); // from -1 to 10
  // The least band is 0.5 % of the larger of the two, whichever comes first: here 0.502, beyond the 0.501
  // they are apart; of the smaller it were 0.4995.
  const Banded less{99.9, 1, 99.9}, more{100.401, 1, 100.401};
  CHECK_FALSE(told_apart(less, more));
  CHECK_FALSE(told_apart(more, less));
  CHECK(told_apart({99.9, 1, 99.9}, {100.41, 1, 100.41})); // 0.51 against 0.50205
  CHECK(told_apart({100.41, 1, 100.41}, {99.9, 1, 99.9}));
  CHECK_FALSE(told_apart({-99.9, 1, -99.9}, {-100.401, 1, -100.401}));
  const Banded change = percent_change(a, b);
  CHECK(change.value == Approx(100 * (100.0 / 110 - 1)));
  CHECK(change.band == Approx(std::abs(100 * (100.0 / 110 - 120.0 / 131))));
}

TEST_CASE("over a step each bone is that of the instant that strains it most, in one order",
          "[ranking][step]") {
  StepResult step;
  for (const double stance : {20.0, 80.0}) {
    DesignResult instant;
    instant.converged = true;
    instant.stance_percent = stance;
    instant.applied_force = stance;
    for (int r = 1; r <= 5; ++r) {
      RayResult &ray = instant.ray[r - 1];
      ray.peak_strain_stance = stance;
      ray.peak_strain = {(r == 2) == (stance == 20) ? 1000.0 : 500.0,
                         10}; // ray 2 at 20 %, the others at 80 %
      Patch bone;
      bone.ray = r;
      bone.value.fill(stance + r);
      instant.bones.push_back(bone);
    }
    step.push_back(instant);
  }
  const DesignResult whole = over_step(step, {});
  REQUIRE(whole.bones.size() == 5);
  for (int r = 1; r <= 5; ++r) {
    CHECK(whole.bones[r - 1].ray == r);
    CHECK(whole.bones[r - 1].value[0] == (r == 2 ? 22 : 80 + r));
  }
}

TEST_CASE("designs are ranked by the painful ray and ties stay open", "[ranking]") {
  const ReportInput in = three_designs();
  const auto ranking = rank_designs(in);
  REQUIRE(ranking.size() == 3);
  CHECK(ranking[0].place == 1);
  CHECK(ranking[1].place == 2);
  CHECK(ranking[2].place == 0);
  CHECK(ranking[0].not_told_apart == std::vector<std::size_t>{2});
  CHECK(ranking[0].best_rank == 1);
  CHECK(ranking[0].worst_rank == 2);
  CHECK(ranking[1].best_rank == 1);
  CHECK(ranking[1].worst_rank == 2);
  CHECK(ranking[2].best_rank == 3);
  CHECK(ranking[2].worst_rank == 3);
  REQUIRE(ranking[0].from_reference);
  CHECK(ranking[0].from_reference->percent.value == Approx(-20));
  REQUIRE(ranking[0].from_unsupported);
  CHECK(ranking[0].from_unsupported->percent.value == Approx(100 * (1200.0 / 1480 - 1)));
  CHECK_FALSE(ranking[2].from_reference);
  CHECK_FALSE(ranking[2].from_unsupported);
}

TEST_CASE("designs that did not converge come last without a rank", "[ranking]") {
  ReportInput in = three_designs();
  in.outcomes[1].with.converged = false;
  const auto ranking = rank_designs(in);
  CHECK(ranking.back().place == 1);
  CHECK_FALSE(ranking.back().ranked);
  CHECK(ranking[0].place == 2);
  CHECK(ranking[0].worst_rank == 1);

  in.outcomes[0].with.converged = false; // the reference
  CHECK_FALSE(rank_designs(in)[0].from_reference);
  in.outcomes[2].with.converged = false;
  CHECK(answer(in, rank_designs(in)).sentences[0].find("No design converged") == 0);
}

TEST_CASE("a design whose heads hang has no rank however little it strains", "[ranking]") {
  ReportInput in = three_designs();
  DesignResult &pad = in.outcomes[1].with;
  REQUIRE(rank_designs(in)[0].place == 1);
  for (RayResult &ray : pad.ray) {
    ray.head_force.value = 1; // 5 N of 105 N
    ray.shaft_force = 20;
  }
  const auto ranking = rank_designs(in);
  CHECK(ranking.back().place == 1);
  CHECK_FALSE(ranking.back().ranked);
  CHECK(ranking.back().why_not == "heads hang");
  CHECK(answer(in, ranking).sentences[0].find("Of the designs that can be ranked") == 0);
}

TEST_CASE("a contradicting input is refused", "[ranking]") {
  ReportInput in = three_designs();
  in.reference = "nobody";
  CHECK_THROWS_AS(rank_designs(in), std::invalid_argument);
  in.reference = "";
  CHECK(reference_place(in) == 0);
  in.foot.painful_ray = 6;
  CHECK_THROWS_AS(rank_designs(in), std::invalid_argument);
  in.outcomes.clear();
  CHECK_THROWS_AS(rank_designs(in), std::invalid_argument);
}

TEST_CASE("the summary holds question, answer, cautions and tables with straight columns", "[summary]") {
  ReportInput in = three_designs();
  in.date = "2026-03-01T14:05:09Z";
  in.outcomes[2].design.title = "Bär | with a bar";
  const std::string text = details_text(in, rank_designs(in), {"summary.md"});
  for (const char *words :
       {"Which one?", "## Patient\n\nInvented patient.", "\"Title of pad\" leaves the least strain in ray 2",
        "Not told apart from it", "No measured metatarsal strain with a pad or a bar", "Bär / with",
        "Peak pressure (in sentences: pressure): the mean over the 10 x 10 mm",
        "686 N vertical force"}) // 70 kg * 9.80665
    CHECK_THAT(text, Catch::Contains(words));
  CHECK(lines_of(text)[2].find(std::string("Raybend ") + raybend_version +
                               ", calculated 2026-03-01T14:05:09Z") == 0);
  for (const char *words : cautions)
    CHECK_THAT(one_line(text), Catch::Contains(std::string(words).substr(0, 60)));

  std::size_t width = 0, rows = 0;
  for (const std::string &line : lines_of(text)) {
    if (line.empty() || line[0] != '|') {
      width = 0;
      continue;
    }
    ++rows;
    if (width == 0)
      width = text_width(line);
    CHECK(text_width(line) == width);
  }
  CHECK(rows > 60); // ranking 5, per design with support 2 x 12, without 2 x 7, calculation 7
}

TEST_CASE("the summary takes two screens and still has what must be read", "[summary]") {
  ReportInput in = three_designs();
  in.outcomes.push_back(outcome("wedge", -1100, -1490));
  in.outcomes.push_back(outcome("plate", -1300));
  in.warnings = {"The case warns of this.", "And of that."};
  const std::vector<RankedDesign> ranking = rank_designs(in);
  const std::string text = summary_text(in, ranking, {"summary.md", "report.html", "rays.csv"}),
                    flat = one_line(text);
  CHECK(std::count(text.begin(), text.end(), '\n') <= 100);
  for (const std::string &words : report_warnings(in, ranking))
    CHECK_THAT(flat, Catch::Contains(one_line(words).substr(0, 60)));
  for (const char *words : {"it is not a diagnosis", "Pain, swelling or night pain", "Invented patient.",
                            "Which one?", "## Where the load goes", "rays.csv"})
    CHECK_THAT(flat, Catch::Contains(words));
  for (const DesignOutcome &o : in.outcomes)
    CHECK_THAT(text, Catch::Contains("| " + o.design.title));
  CHECK_THAT(text, !Catch::Contains("For the lab") && !Catch::Contains("## Design A"));
}

TEST_CASE("a note is printed as it stands", "[summary]") {
  ReportInput in = three_designs();
  in.note = "Not invented: measured in the clinic.";
  CHECK_THAT(details_text(in, rank_designs(in)),
             Catch::Contains("## Patient\n\nNot invented: measured in the clinic.\n"));
}

TEST_CASE("the force over the plan of support elements says what it counts", "[summary]") {
  ReportInput in = three_designs();
  in.outcomes.resize(2);
  SupportElement &first = in.outcomes[1].design.support.at(0);
  in.outcomes[1].with.support_force = 212;
  const auto text = [&in] { return details_text(in, rank_designs(in)); };
  CHECK_THAT(text(), Catch::Contains("Force over the plan of the support elements, edge to edge: 212 N."));
  SupportElement wedge;
  wedge.kind = SupportKind::wedge;
  for (const SupportKind kind : {SupportKind::wedge, SupportKind::plate}) { // these alone: it says nothing
    first.kind = kind;
    CHECK_THAT(text(), !Catch::Contains("Force over"));
  }
  first.kind = SupportKind::hardness;
  in.outcomes[1].design.support.push_back(wedge);
  CHECK_THAT(text(), Catch::Contains("edge to edge (not of wedges and plates, which lie") &&
                         Catch::Contains("width): 212 N."));
}

TEST_CASE("a fascia that is cut has no tension", "[summary]") {
  ReportInput in = three_designs();
  CHECK_THAT(details_text(in, rank_designs(in)), Catch::Contains("Plantar fascia before elongation"));
  in.activity.activity.fascia = false;
  CHECK_THAT(details_text(in, rank_designs(in)),
             !Catch::Contains("before elongation") && Catch::Contains("- plantar fascia cut\n"));
}

TEST_CASE("a force in body weights says whose weight", "[summary]") {
  ReportInput in = three_designs(); // 70 kg, force 1.1 times 85 kg: 917 N, 1.34 times the body's own weight
  in.activity.activity.force_bw = 1.1;
  in.activity.activity.carried_kg = 15;
  CHECK_THAT(
      one_line(details_text(in, rank_designs(in))),
      Catch::Contains("917 N vertical force on forefoot and toes (1.10 times the weight of body and 15 kg "
                      "carried load together)"));
}

TEST_CASE("what only the lab needs stands last", "[summary]") {
  ReportInput in = three_designs();
  const std::string text = details_text(in, rank_designs(in), {"summary.md"});
  const std::size_t lab = text.find("## For the lab");
  REQUIRE(lab != std::string::npos);
  CHECK(text.find("\n## ", lab + 1) == std::string::npos);
  for (const char *words : {"Newton", " CG ", "MiB", "before elongation", "M to statics"}) {
    INFO(words);
    CHECK(text.find(words) > lab);
    CHECK(text.find(words) != std::string::npos);
  }
}

TEST_CASE("the change against the reference is left out only where it is the same solve", "[summary]") {
  // The pad changes little against either, so that the words are the same.
  ReportInput in = three_designs();
  in.outcomes[0] = outcome("flat", -1500);
  in.outcomes[1] = outcome("pad", -1490, -1480);
  in.outcomes.pop_back();
  CHECK_THAT(details_text(in, rank_designs(in)),
             Catch::Contains("- Against the reference, load goes to: nowhere") &&
                 Catch::Contains("| reference "));
  in.outcomes[0].with_solve = in.outcomes[1].without_solve = "one";
  CHECK_THAT(details_text(in, rank_designs(in)),
             Catch::Contains("- The reference is that insole.") && !Catch::Contains("| reference "));
}

TEST_CASE("text from a case file cannot break a line or a terminal", "[summary]") {
  CHECK(one_line("a\nb\x1b[31mc") == "a b [31mc");
  CHECK(one_line("\xff"
                 "é") == "?é");
  CHECK(wrapped("aaaa bbbb 12 ± 3 ue cc", 10) == "aaaa bbbb\n12 ± 3 ue\ncc");
  TextTable table({"a", "b"}, {Column::left, Column::right});
  CHECK_THROWS_AS(table.add({"1"}), std::invalid_argument);
}

TEST_CASE("numbers as text", "[tables]") {
  CHECK(fixed(-0.2) == "0");
  CHECK(fixed(1234.56, 1) == "1234.6");
  CHECK(fixed(std::nan("")) == "-");
  CHECK(signed_fixed(3) == "+3");
  CHECK(signed_fixed(0.01, 1) == "0.0");
  CHECK(banded({12.34, 0.5}, 1) == "12.3 ± 0.5");
  CHECK(banded({12.34, 0.04}, 1) == "12.3 ± <0.1");
  CHECK(banded({70.2, 0.5}) == "70 ± <1"); // no "± 0"
  CHECK(banded({0, 0}) == "0");
  CHECK(banded({0.3, 0.05}) == "0");
  CHECK(signed_banded({12, 0.2}) == "+12 ± <1");
  CHECK(percent_digits({Banded{-17, 3}, Banded{-14.9, 1.4}}) == 1);
  CHECK(percent_digits({Banded{-17, 3}, Banded{-14, 2}}) == 0);
  CHECK(std::stod(exact(0.1 + 0.2)) == 0.1 + 0.2);
  CHECK(exact(1e-300).find(',') == std::string::npos);
  CHECK(csv_number(1234.56789012) == "1234.568");
  CHECK(csv_number(-0.00012345678) == "-0.0001234568");
  CHECK(csv_number(0.1 + 0.2) == "0.3");
  CHECK(csv_number(-0.0) == "0");
  CHECK(csv_number(1500) == "1500");
  constexpr double infinity = std::numeric_limits<double>::infinity();
  for (const double none : {std::nan(""), infinity, -infinity}) {
    CHECK(csv_number(none).empty());
    CHECK(csv_exact(none).empty());
  }
  CHECK(csv_exact(0.1) == "0.1");
  CHECK(csv_exact(-0.0) == "0");
}

TEST_CASE("rays.csv has a line for each design, state and ray", "[tables]") {
  ReportInput in = three_designs();
  in.outcomes[1].design.name = "pad, \"high\"";
  const auto lines = lines_of(rays_csv(in));
  REQUIRE(lines.size() == 1 + 5 * (1 + 2 + 2));
  CHECK(lines[0].find(
            "design,support,converged,ray,peak_strain_ue,peak_strain_band_ue,peak_strain_signed_ue,") == 0);
  CHECK(lines[2].find("flat,none,yes,2,1500,20,-1500,0,0,0,0,0,0,-1500,20,") == 0);
  CHECK(lines[6].find("\"pad, \"\"high\"\"\",with,yes,1,800,") == 0);
  CHECK(lines[11].find("\"pad, \"\"high\"\"\",without,yes,1,") == 0);
  const auto commas = std::count(lines[0].begin(), lines[0].end(), ',');
  CHECK(commas == 3 + static_cast<long>(ray_columns().size()));
  CHECK(std::count(lines[1].begin(), lines[1].end(), ',') == commas);
}

TEST_CASE("changes.csv holds every difference, in its unit and in per cent", "[tables]") {
  ReportInput in = three_designs();
  in.reference = "flat";
  RayResult &now = in.outcomes[1].with.ray[1], &then = in.outcomes[1].without.ray[1];
  then.fascia_tension = 200;
  now.fascia_tension = 150;
  then.peak_compression = -40;
  now.peak_compression = -50;
  then.toe_load = 0;
  now.toe_load = 3;
  const auto lines = lines_of(changes_csv(in));
  REQUIRE(lines.size() == 1 + 5 * (0 + 2 + 2));
  const auto cells = [](const std::string &line) {
    std::vector<std::string> list(1);
    for (const char c : line)
      if (c == ',')
        list.emplace_back();
      else
        list.back() += c;
    return list;
  };
  const std::vector<std::string> head = cells(lines[0]), row = cells(lines[7]);
  REQUIRE(head.size() == row.size());
  const auto cell = [&](const std::string &name) {
    const auto at = std::find(head.begin(), head.end(), name);
    REQUIRE(at != head.end());
    return row[at - head.begin()];
  };
  CHECK((row[1] == "without" && row[2] == "2"));
  CHECK(cell("change_fascia_tension_n") == "-50");
  CHECK(cell("change_fascia_tension_n_pct") == "-25");
  CHECK(cell("change_principal_compression_peak_mpa") == "-10");
  CHECK(cell("change_principal_compression_peak_mpa_pct") == "-25");
  CHECK(cell("change_toe_load_n") == "3");
  CHECK(cell("change_toe_load_n_pct").empty());
  for (const std::string &name : head)
    CHECK((name.find("_at_") == std::string::npos && name.find("_band_") == std::string::npos));
  // A solve without numbers leaves none of its changes.
  in.outcomes[1].without.converged = false;
  for (const std::string &field : cells(lines_of(changes_csv(in))[7]))
    CHECK((field.empty() || field == row[0] || field == "without" || field == "2"));
}

TEST_CASE("a solve that did not converge has no numbers in the tables", "[tables]") {
  ReportInput in = three_designs();
  in.outcomes[0].with.converged = false;
  in.outcomes[0].with.record.newton_steps = 12; // what it cost is known all the same
  const auto rays = lines_of(rays_csv(in)), shaft = lines_of(shaft_csv(in));
  CHECK(rays[1] == "flat,none,no,1" + std::string(ray_columns().size(), ','));
  CHECK(shaft[1] == "flat,none,no,1" + std::string(station_columns().size(), ','));
  const auto j = nlohmann::json::parse(summary_json(in, rank_designs(in)));
  const auto &failed = j["designs"][0]["with_support"];
  CHECK(failed["converged"] == false);
  CHECK(failed["ground_force_n"].is_null());
  CHECK(failed["newton_steps"] == 12);
  CHECK(failed["rays"][1]["peak_strain_ue"].is_null());
  CHECK(j["designs"][1]["with_support"]["rays"][1]["peak_strain_ue"] == 1200);
}

TEST_CASE("places of a left foot are mirrored in the tables, as in the fields", "[tables]") {
  ReportInput in = three_designs();
  RayResult &ray = in.outcomes[0].with.ray[0];
  ray.head_sensor = {3, 21, 0};
  ray.shaft[0].torque = 5; // named by the bone's sides
  const auto both = [&] {
    const auto j = nlohmann::json::parse(summary_json(in, rank_designs(in)));
    const auto &r = j["designs"][0]["with_support"]["rays"][0];
    return std::vector<double>{r["head_sensor_x_mm"], r["head_sensor_y_mm"], r["shaft"][0]["torque_n_mm"]};
  };
  in.foot.side = Side::right;
  CHECK(both() == std::vector<double>{3, 21, 5});
  const std::string right = rays_csv(in);
  in.foot.side = Side::left;
  CHECK(both() == std::vector<double>{3, -21, 5});
  const std::string left = rays_csv(in);
  CHECK_THAT(right, Catch::Contains(",3,21,"));
  CHECK_THAT(left, Catch::Contains(",3,-21,"));
}

TEST_CASE("a CSV field is one line", "[tables]") {
  CHECK(csv_text("plain") == "plain");
  CHECK(csv_text("a \"b\", c") == "\"a \"\"b\"\", c\"");
  CHECK(csv_text("a\nb") == "a b");
}

TEST_CASE("shaft.csv has a line for each station", "[tables]") {
  const auto lines = lines_of(shaft_csv(three_designs()));
  REQUIRE(lines.size() == 1 + 5 * 5 * 3);
  CHECK_THAT(lines[0], Catch::Contains("strain_dorsal_ue") && Catch::Contains("moment_sagittal_n_mm"));
  CHECK(lines[2].find("flat,none,yes,1,0,50,") == 0); // distance 0 mm, 50 % of the length
}

TEST_CASE("every column carries its unit", "[tables]") {
  auto has_unit = [](const std::string &name) {
    for (const char *unit :
         {"_ue", "_mm", "_n", "_mpa", "_kpa", "_pct", "_mm2", "_n_mm", "_s", "_mib", "_deg", "_cells"})
      if (name.size() > std::string(unit).size() &&
          name.compare(name.size() - std::string(unit).size(), std::string::npos, unit) == 0)
        return true;
    return false;
  };
  for (const auto &c : ray_columns())
    CHECK(has_unit(c.name));
  for (const auto &c : station_columns())
    CHECK(has_unit(c.name));
}

TEST_CASE("summary.json parses and holds what went in", "[tables]") {
  ReportInput in = three_designs();
  in.case_text = "title = \"Three\"\n# \xff not UTF-8\n";
  in.resolved = {{"foot.mass", "70", "kg", "case"}};
  in.versions = {{"solver", "1"}};
  in.date = "2026-03-01T14:05:09Z";
  in.outcomes[0].with.ray[0].contact_area = std::numeric_limits<double>::quiet_NaN();
  in.outcomes[0].with.ray[0].toe_load = 0.1;
  in.outcomes[1].with.ray[3].head_force.value = 75; // of 100 N
  const auto j = nlohmann::json::parse(summary_json(in, rank_designs(in)));
  CHECK(j["designs"].size() == 3);
  CHECK(j["designs"][0]["with_support"]["rays"][0]["contact_area_mm2"].is_null());
  CHECK(j["designs"][0]["with_support"]["rays"][0]["toe_load_n"].get<double>() == 0.1);
  CHECK(j["designs"][0]["without_support"].is_null());
  CHECK(j["designs"][1]["without_support"]["rays"][1]["peak_strain_ue"] == 1480);
  CHECK(j["designs"][1]["with_support"]["rays"][4]["shaft"].size() == 3);
  CHECK(j["ranking"][0]["design"] == "pad");
  const auto &relieved = j["ranking"][0]["from_without_support"]["relieved"];
  REQUIRE(relieved.size() == 1);
  CHECK(relieved[0]["quantity"] == "head_force_n");
  CHECK(relieved[0]["ray"] == 4);
  CHECK(relieved[0]["change_pct"] == -25);
  CHECK(j["ranking"][0]["not_told_apart_from"] == nlohmann::json::array({"bar"}));
  CHECK(j["case"]["text"].get<std::string>().find("title = \"Three\"") == 0);
  CHECK(j["case"]["resolved"][0]["unit"] == "kg");
  CHECK(j["date"] == "2026-03-01T14:05:09Z");
  CHECK(j["cautions"].size() == std::size(cautions));
  CHECK(j["activity"]["vertical_force_n"].get<double>() == Approx(70 * 9.80665));
}

TEST_CASE("the scale for pressure is monotone in lightness", "[colours]") {
  double last = -1;
  for (int i = 0; i <= 200; ++i) {
    const double now = lightness(sequential_colour(i / 200.0));
    CHECK(now >= last - 0.3); // eight-bit rounding of a channel
    last = now;
  }
  CHECK(lightness(sequential_colour(1)) - lightness(sequential_colour(0)) > 70);
  CHECK(lightness({255, 255, 255}) == Approx(100));
  CHECK(lightness({119, 119, 119}) == Approx(50).margin(0.2)); // the sRGB grey of L* 50
}

TEST_CASE("the scale for stress falls evenly to both sides", "[colours]") {
  const double white = lightness(diverging_colour(0)), dark = lightness(diverging_colour(1));
  CHECK(white > 95);
  CHECK(dark < 36);
  for (int i = 0; i <= 50; ++i) {
    const double t = i / 50.0, wanted = white + t * (dark - white);
    CHECK(lightness(diverging_colour(t)) == Approx(wanted).margin(0.6)); // eight-bit rounding
    CHECK(lightness(diverging_colour(-t)) == Approx(wanted).margin(0.6));
  }
  CHECK(diverging_colour(-0.5).b > diverging_colour(-0.5).r + 50);
  CHECK(diverging_colour(0.5).r > diverging_colour(0.5).b + 50);
}

TEST_CASE("the six design colours survive a grey printer", "[colours]") {
  for (std::size_t a = 0; a < 6; ++a) {
    CHECK(lightness(design_colour(a)) < 80); // still seen on white
    for (std::size_t b = 0; b < a; ++b)
      CHECK(std::abs(lightness(design_colour(a)) - lightness(design_colour(b))) >= 10);
  }
}

TEST_CASE("patches join at their corners with mean values", "[pictures]") {
  auto patch = [](double x, double value) {
    Patch p;
    p.corner = {Vec3{x, 0, 0}, Vec3{x + 1, 0, 0}, Vec3{x + 1, 2, 0}, Vec3{x, 2, 0}};
    p.value = {value, value, value, value};
    p.ray = 1;
    return p;
  };
  const std::vector<Patch> patches = {patch(0, 10), patch(1 + 1e-12, 20)};
  const PatchMesh mesh = join_patches(patches, true, false);
  REQUIRE(mesh.point.size() == 6);
  CHECK(mesh.outline.size() == 6);
  CHECK(mesh.value[mesh.quad[0][0]] == 10);
  CHECK(mesh.value[mesh.quad[0][1]] == 15);
  CHECK(mesh.quad[0][1] == mesh.quad[1][0]);

  const PatchMesh mirrored = join_patches(patches, true, true);
  const auto &q = mirrored.quad[0];
  const Vec3 normal =
      cross(mirrored.point[q[1]] - mirrored.point[q[0]], mirrored.point[q[2]] - mirrored.point[q[1]]);
  CHECK(normal[2] > 0); // as before mirroring
  CHECK(std::all_of(mirrored.point.begin(), mirrored.point.end(), [](const Vec3 &x) { return x[1] <= 0; }));

  std::vector<Patch> two_rays = patches;
  two_rays[1].ray = 2;
  CHECK(join_patches(two_rays, false, false).point.size() == 8);
  CHECK(join_patches(two_rays, true, false).point.size() == 6);
}

TEST_CASE("ticks are round and inside the axis", "[pictures]") {
  CHECK(round_ticks(-1, 1, 4) == std::vector<double>{-1, -0.5, 0, 0.5, 1});
  CHECK(round_ticks(5, 5, 4).empty());
  for (double tick : round_ticks(-1873, 911, 6))
    CHECK((tick >= -1873 && tick <= 911 && std::fmod(tick, 500) == 0));
  CHECK(round_up(331) == Approx(350));
  CHECK(round_up(350) == Approx(350));
  CHECK(round_up(0) == 1);
}

TEST_CASE("the chart of a step holds every design's numbers, and letters that do not lie on one another",
          "[summary]") {
  ReportInput in = three_designs();
  CHECK(step_chart(in).empty()); // no instants
  for (DesignOutcome &o : in.outcomes) {
    DesignResult early = o.with, late = o.with; // every line ends at one height
    early.stance_percent = 70;
    late.stance_percent = 80;
    late.ray[1].peak_strain.value = 1000;
    o.with_instants = {early};
    o.with_instants.push_back(late);
  }
  in.outcomes[2].with_instants[0].converged = false;
  const std::string chart = step_chart(in);
  using Catch::Matchers::Contains;
  CHECK_THAT(chart,
             Contains("Title of flat</th><td class=\"right\">1500</td><td class=\"right\">1000</td>") &&
                 Contains("Title of pad</th><td class=\"right\">1200</td><td class=\"right\">1000</td>") &&
                 Contains("Title of bar</th><td class=\"right\">–</td><td class=\"right\">1000</td>"));
  const std::regex letter("y=\"([0-9.]+)\" font-size=\"([0-9.]+)\"[^>]*bold\">[ABC]<");
  std::vector<double> heights;
  double size = 0;
  for (std::sregex_iterator it(chart.begin(), chart.end(), letter), end; it != end; ++it) {
    heights.push_back(std::stod((*it)[1]));
    size = std::stod((*it)[2]);
  }
  REQUIRE(heights.size() == 3);
  std::sort(heights.begin(), heights.end());
  CHECK(heights[1] - heights[0] > 0.99 * size);
  CHECK(heights[2] - heights[1] > 0.99 * size);
}
