// The catalogue row by row, the ready cases, and what a case becomes.
#include "cases/activities.hpp"
#include "cases/anatomy.hpp"
#include "cases/calculation_date.hpp"
#include "cases/case_error.hpp"
#include "cases/catalogue.hpp"
#include "cases/check_report.hpp"
#include "cases/design_words.hpp"
#include "cases/explain.hpp"
#include "cases/materials.hpp"
#include "cases/reader.hpp"
#include "cases/resolved.hpp"
#include "cases/shoe_size.hpp"
#include "cases/support_kinds.hpp"
#include "cases/words.hpp"
#include "tests/case_files.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <set>

using namespace raybend;
using Catch::Matchers::Contains;

namespace {

std::string ready_case(const std::string &name) {
  return source_path("cases/" + name + ".toml");
}

const Case::Resolved &entry(const Case &c, const std::string &key) {
  for (const Case::Resolved &r : c.resolved)
    if (r.key == key)
      return r;
  FAIL("no resolved value of " + key);
  return c.resolved.front();
}

} // namespace

TEST_CASE("every catalogue row is complete", "[cases][catalogue]") {
  std::set<std::string> keys;
  for (const CatalogueRow &r : catalogue()) {
    INFO(r.key);
    CHECK(keys.insert(r.key).second);
    CHECK(&catalogue_row(r.key) == &r);
    CHECK(r.meaning.size() > 8);
    CHECK(r.meaning.back() == '.');
    CHECK(!r.source.empty());
    CHECK(!r.default_words.empty());
    CHECK(!r.allowed_words().empty());
    const bool number = r.type == KeyType::number || r.type == KeyType::integer;
    if (number) {
      CHECK(r.allowed.low < r.allowed.high);
      CHECK((r.published.size() == 0 || r.published.size() == 1 || r.published.size() == 5));
      for (const Range &x : r.published) {
        CHECK(r.allowed.holds(x.low));
        CHECK(r.allowed.holds(x.high));
      }
      for (std::size_t i = 0; i < r.default_values.size(); ++i) {
        const double value = r.default_values[i];
        CHECK(r.allowed.holds(value));
        if (const Range *usual = r.published_for(r.default_values.size() == 5 ? i + 1 : 0))
          CHECK(usual->holds(value));
      }
      // the unit ends the name
      const std::vector<std::pair<std::string, std::string>> endings = {
          {"mm", "_mm"},   {"kg", "_kg"},   {"deg", "_deg"},
          {"MPa", "_mpa"}, {"m/s", "_m_s"}, {"N/mm", "_n_per_mm"}};
      for (const auto &[unit, ending] : endings)
        if (r.unit == unit) {
          REQUIRE(r.key.size() > ending.size());
          CHECK(r.key.substr(r.key.size() - ending.size()) == ending);
        }
    }
    if (r.type == KeyType::choice || r.type == KeyType::choice_list)
      CHECK(r.choices.size() >= 2);
    std::string nearest;
    CHECK_THAT(explain_one(r.key, nearest), Contains(r.key));
    CHECK_THAT(of_a_beam(r.key) ? explain_beam_keys() : explain_all(),
               Contains(r.key.substr(r.key.find_last_of('.') + 1)));
  }
  CHECK(keys.size() > 100);
}

TEST_CASE("a key without a row is a fault of the program", "[cases][catalogue]") {
  CHECK_THROWS_AS(catalogue_row("patient.shoe_colour"), std::logic_error);
  CHECK_THROWS_AS(catalogue_row("patient.body_mass_kg").number(), std::logic_error);
  CHECK(general_key("designs[2].layers[13].nu") == "designs[].layers[].nu");
  CHECK(general_key("patient.ray3.length_mm") == "patient.rayN.length_mm");
  CHECK(general_key("designs[].support[pad].height_mm") == "designs[].support[pad].height_mm");
}

TEST_CASE("every field of a support kind and of a ray has its row", "[cases][catalogue]") {
  for (const SupportKindInfo &k : support_kinds())
    for (const SupportField &f : k.fields)
      CHECK_NOTHROW(catalogue_row("designs[].support[" + k.name + "]." + f.name));
  for (const RayField &f : ray_fields())
    CHECK(catalogue_row("patient.rayN." + f.name).default_values.size() == 5);
  for (const char *share : {"fascia_share", "toe_share"}) {
    double sum = 0;
    for (int r = 1; r <= 5; ++r)
      sum += catalogue_row(std::string("patient.rayN.") + share).number(r);
    CHECK(sum == Approx(1).epsilon(1e-12)); // rounding of five additions
  }
}

TEST_CASE("the ready cases read cleanly and say that they are invented", "[cases]") {
  for (const char *name : {"warehouse", "runner", "standing", "shift"}) {
    INFO(name);
    const Case c = read_case(ready_case(name));
    // the warehouse's second pad ends 5.5 mm behind the base of ray 2
    CHECK(c.warnings.size() == (std::string(name) == "warehouse" ? 1 : 0));
    CHECK_THAT(c.note, Contains("Invented patient"));
    CHECK(c.designs.size() >= 2);
    CHECK(!c.question.empty());
    CHECK_THAT(check_report(c), Contains(c.designs.back().name));
    for (const Design &d : c.designs) {
      REQUIRE(d.layers.size() >= 3);
      CHECK(d.layers.front().role == LayerRole::sole);
      CHECK(d.layers.back().role == LayerRole::cover);
      for (const Layer &l : d.layers)
        CHECK(l.material.e > 0);
    }
  }
  const Case w = read_case(ready_case("warehouse"));
  REQUIRE(w.designs.size() == 5);
  CHECK(w.designs[2].support.at(0).behind_heads == 8);
  CHECK(w.designs[3].support.at(0).behind_heads == 23);
  CHECK(w.day.at(0).hours_per_day == 10);
}

TEST_CASE("a pad or bar that ends behind the bases is told, measured along the foot", "[cases]") {
  const auto warnings = [](const std::vector<std::string> &sets) {
    return read_case(ready_case("warehouse"), sets).warnings;
  };
  // by hand: 68 mm x 258/271 x cos 15 deg = 62.53 mm from head to base of ray 2
  REQUIRE(warnings({}).size() == 1);
  CHECK_THAT(
      warnings({})[0],
      Contains(":135: designs[4].support[1].behind_heads_mm: moulded-pad-back: the pad reaches 68 mm behind "
               "the heads, but ray 2 ends at its base, 62.5 mm behind; its last 5.5 mm carry nothing"));
  const std::string back = "designs.moulded-pad-back.support[1].";
  CHECK(warnings({back + "behind_heads_mm=18"}).empty()); // 0.5 mm beyond: within the tolerance of 1 mm
  CHECK(warnings({back + "behind_heads_mm=19"}).size() == 1);
  REQUIRE(warnings({back + "behind_heads_mm=8", back + "ray=5", back + "length_mm=55"}).size() == 1);
  CHECK_THAT(warnings({back + "behind_heads_mm=8", back + "ray=5", back + "length_mm=55"})[0],
             Contains("ray 5 ends at its base, 56.9 mm behind")); // 60 x 258/271 x cos 5 deg
  // moved under ray 1, whose base lies nearer: 17.1 mm medially at the bases
  CHECK_THAT(warnings({back + "behind_heads_mm=8", back + "shift_medial_mm=15"})[0], Contains("ray 1 ends"));
  // a bar across all rays ends first under ray 1: 56 x 258/271 x cos 20 deg = 50.1 mm
  CHECK_THAT(warnings({"designs.moulded-bar.support[1].length_mm=14"}).back(),
             Contains("the bar reaches 54 mm behind the heads, but ray 1 ends at its base, 50.1 mm behind"));
}

TEST_CASE("check gives numbers back as they were typed", "[cases]") {
  const auto report = [](const std::vector<std::string> &sets) {
    return check_report(read_case(ready_case("warehouse"), sets));
  };
  CHECK_THAT(report({"activity.hours_per_day=0.75"}), Contains("1600 an hour, 0.75 h a day"));
  CHECK_THAT(report({"patient.foot_length_mm=258.25"}), Contains("258.25 mm long"));
  CHECK_THAT(report({"patient.ray2.tissue_under_head_mm=13.25"}), Contains("13.25"));
  CHECK_THAT(report({"patient.forefoot_width_mm=101.25"}), Contains("101.25 mm across"));
  CHECK_THAT(report({"designs.moulded-pad.layers[2].thickness_mm=10.125"}), Contains("10.125 mm"));
  CHECK_THAT(report({"patient.shoe_size=38", "patient.shoe_size_system=EU"}),
             Contains("about 238 mm long, from the shoe size")); // 38 x 20/3 - 15 = 238.3
}

TEST_CASE("words of a design say where and to which side", "[cases]") {
  SupportElement pad;
  pad.kind = SupportKind::pad;
  pad.shift_medial = -6;
  CHECK_THAT(support_words(pad), Contains("shifted 6 mm laterally"));
  pad.shift_medial = 6;
  CHECK_THAT(support_words(pad), Contains("shifted 6 mm medially"));
  Layer layer;
  layer.from_behind_heads = 1000;
  layer.to_behind_heads = -1000;
  CHECK(extent_words(layer).empty());
  layer.to_behind_heads = 20;
  CHECK(extent_words(layer) == ", from the proximal end to 20 mm behind the heads");
  layer.from_behind_heads = 30;
  layer.to_behind_heads = -1000;
  CHECK(extent_words(layer) == ", from 30 mm behind the heads to the front end");
  layer.to_behind_heads = -5;
  CHECK(extent_words(layer) == ", from 30 mm behind the heads to 5 mm in front of the heads");
}

TEST_CASE("columns and lines count characters, not bytes", "[cases]") {
  CHECK(padded("Größe", 7) == "Größe  ");
  CHECK(right_aligned("µm", 4) == "  µm");
  CHECK(folded("ääää bbbb cc", 9, 2) == "ääää bbbb\n  cc");
  CHECK(folded("aa 12 mm", 5, 2) == "aa\n  12 mm");
}

TEST_CASE("explain says what a thing is", "[cases][catalogue]") {
  std::string nearest;
  const std::string support = explain_one("support", nearest);
  CHECK(support.find("[[designs.support]]") == 0);
  for (const SupportKindInfo &k : support_kinds()) {
    INFO(k.name);
    CHECK_THAT(support, Contains(k.meaning));
    CHECK_THAT(explain_one(k.name, nearest), Contains(k.meaning.substr(0, 30)));
    CHECK(table_meaning("designs[].support[" + k.name + "]").size() > k.meaning.size() + 40);
  }
  CHECK(explain_one("arch-fill", nearest) == explain_one("arch_fill", nearest));
  CHECK_THAT(explain_one("layers", nearest), Contains("[[designs.layers]]"));
  for (const char *key : {"fit", "ray", "activity.kind"}) {
    INFO(key);
    CHECK_THAT(explain_one(key, nearest), Contains("allowed") && !Contains("source"));
  }
  CHECK_THAT(explain_one("eva-35", nearest), Contains("EVA foam") && Contains("how stiff"));
}

TEST_CASE("a resolved case reads back as the same case", "[cases]") {
  for (const char *name : {"warehouse", "runner", "standing", "shift"}) {
    INFO(name);
    const Case c = read_case(ready_case(name));
    const Case again = read_case_from_text(resolved_toml(c), "resolved.toml");
    REQUIRE(again.resolved.size() == c.resolved.size());
    for (std::size_t i = 0; i < c.resolved.size(); ++i) {
      INFO(c.resolved[i].key);
      CHECK(again.resolved[i].key == c.resolved[i].key);
      CHECK(again.resolved[i].value == c.resolved[i].value);
      CHECK(again.resolved[i].unit == c.resolved[i].unit);
    }
  }
}

TEST_CASE("materials given in numbers read back as the same case", "[cases]") {
  const std::vector<std::string> sets = {"designs[1].layers[2].shore_a=35",
                                         "designs[2].layers[2].e_mpa=1200",
                                         "designs[2].layers[2].nu=0.4",
                                         "designs.flat-pad.support[1].shore_a=50",
                                         "bone.law=transverse",
                                         "title=12 \"cm\" # x",
                                         "activity.fascia=false"};
  const Case c = read_case(ready_case("standing"), sets);
  CHECK(c.title == "12 \"cm\" # x");
  CHECK(c.designs[0].layers[1].material.e == Approx(gent_modulus(35)));
  CHECK(c.designs[0].layers[1].material.law == MaterialLaw::foam);
  CHECK(c.designs[1].layers[1].material.law == MaterialLaw::solid);
  REQUIRE(c.warnings.size() == 2); // the spread of the two hardnesses
  CHECK_THAT(c.warnings[0], Contains("50 %"));
  const Case again = read_case_from_text(resolved_toml(c), "resolved.toml");
  REQUIRE(again.resolved.size() == c.resolved.size());
  for (std::size_t i = 0; i < c.resolved.size(); ++i)
    CHECK(again.resolved[i].value == c.resolved[i].value);
}

TEST_CASE("a length that looks like centimetres is told in the warning", "[cases]") {
  const auto warnings = [](const std::string &set) {
    return read_case(ready_case("standing"), {set}).warnings;
  };
  REQUIRE(warnings("designs.flat-pad.support[1].height_mm=0.6").size() == 1); // usual 3 to 10 mm
  CHECK_THAT(warnings("designs.flat-pad.support[1].height_mm=0.6")[0], Contains("; 0.6 cm are 6 mm"));
  REQUIRE(warnings("designs.flat-pad.support[1].height_mm=11").size() == 1);
  CHECK_THAT(warnings("designs.flat-pad.support[1].height_mm=11")[0], !Contains(" cm are"));
}

TEST_CASE("origins of values", "[cases]") {
  const Case c = read_case(ready_case("runner"), {"patient.body_mass_kg=66", "designs.moulded.fit=0.9"});
  CHECK(entry(c, "patient.body_mass_kg").origin == "--set");
  CHECK(entry(c, "patient.body_mass_kg").value == "66");
  CHECK(entry(c, "patient.body_mass_kg").unit == "kg");
  CHECK(entry(c, "designs[2].fit").origin == "--set");
  CHECK(entry(c, "patient.ray2.length_mm").origin == "foot form");
  CHECK(entry(c, "patient.ray3.length_mm").origin == "default");
  CHECK(entry(c, "patient.foot_length_mm").origin == "case, shoe_size");
  CHECK(entry(c, "patient.side").origin == "case");
  CHECK(entry(c, "designs[3].support[1].height_mm").origin == "case");
  CHECK(entry(c, "designs[3].support[1].height_mm").unit == "mm");
}

TEST_CASE("Shore A to Young's modulus by Gent's relation", "[cases][materials]") {
  // table derived from the formula, two decimals: bound half a unit in the last place
  const double table[][2] = {{15, 0.56}, {20, 0.73}, {25, 0.92}, {30, 1.14}, {35, 1.40},
                             {40, 1.69}, {50, 2.46}, {60, 3.61}, {70, 5.52}};
  for (const auto &row : table)
    CHECK(std::abs(gent_modulus(row[0]) - row[1]) <= 0.0051);
  CHECK(std::abs(gent_modulus(90) - 20.8) <= 0.051);
}

TEST_CASE("named materials and activities are sane", "[cases][materials]") {
  for (const NamedMaterial &n : named_materials()) {
    INFO(n.material.name);
    CHECK(catalogue_row("designs[].layers[].e_mpa").allowed.holds(n.material.e));
    CHECK(catalogue_row("designs[].layers[].nu").allowed.holds(n.material.nu));
    CHECK((n.material.law == MaterialLaw::solid || n.material.relative_density < 0.5));
    CHECK(!n.source.empty());
    std::string nearest;
    CHECK_THAT(explain_one(n.material.name, nearest), Contains(n.source.substr(0, 8)));
  }
  for (const NamedActivity &n : named_activities()) {
    INFO(n.activity.name);
    CHECK(catalogue_row("activity.force_bw").published_for(0)->holds(n.activity.force_bw));
    CHECK(catalogue_row("activity.toe_share").published_for(0)->holds(n.activity.toe_share));
    CHECK(catalogue_row("activity.heel_rise_deg").published_for(0)->holds(n.activity.heel_rise_deg));
    CHECK(catalogue_row("activity.fascia_bw").published_for(0)->holds(n.activity.fascia_bw));
    CHECK(!n.source.empty());
  }
  CHECK(running_force_bw(3) == Approx(2.2));
  CHECK(running_force_bw(4.5) == Approx(2.8));
  CHECK(running_force_bw(6) == Approx(2.8));
  CHECK(running_force_bw(2) == Approx(2.2));
}

TEST_CASE("shoe sizes", "[cases]") {
  CHECK(foot_length_of("EU", 42) == Approx(265)); // 42 Paris points are 280 mm of last
  CHECK(foot_length_of("Mondopoint", 265) == Approx(265));
  CHECK(foot_length_of("UK", 8) == Approx(foot_length_of("US men", 9)));
  for (const std::string &system : shoe_size_systems())
    CHECK_NOTHROW(foot_length_of(system, 10));
}

TEST_CASE("a foot from few measurements", "[cases][anatomy]") {
  const std::vector<std::string> base = {"patient.foot_length_mm=271"};
  const Forefoot foot = read_case(ready_case("standing"), base).foot;
  CHECK(foot.rays[1].length == Approx(68));
  CHECK(foot.rays[0].head_behind_mt2 == Approx(-0.94));
  CHECK(foot.hindfoot_anchor_behind == Approx(0.53 * 271));

  SECTION("lengths scale with foot length, angles do not") {
    const Forefoot small = read_case(ready_case("standing"), {"patient.foot_length_mm=230"}).foot;
    CHECK(small.rays[3].length == Approx(64 * 230.0 / 271));
    CHECK(small.rays[3].declination_deg == 8);
    CHECK(forefoot_width(small) / forefoot_width(foot) ==
          Approx(230.0 / 271).epsilon(0.01)); // the 3 mm beyond a head does not scale
  }
  SECTION("one measure changes itself alone") {
    for (const RayField &f : ray_fields()) {
      if (f.name.find("share") != std::string::npos)
        continue;
      const double value = foot.rays[2].*f.member * 1.02;
      INFO(f.name);
      const Forefoot other =
          read_case(ready_case("standing"),
                    {"patient.foot_length_mm=271", "patient.ray3." + f.name + "=" + number_text(value, 12)})
              .foot;
      for (int r = 0; r < 5; ++r)
        for (const RayField &g : ray_fields())
          CHECK(other.rays[r].*g.member ==
                Approx(r == 2 && f.name == g.name ? value : foot.rays[r].*g.member));
    }
  }
  SECTION("shares always sum to one") {
    const Forefoot other =
        read_case(ready_case("standing"), {"patient.ray2.fascia_share=0.1", "patient.ray1.toe_share=0.9"})
            .foot;
    double fascia = 0, toes = 0;
    for (const Ray &ray : other.rays) {
      fascia += ray.fascia_share;
      toes += ray.toe_share;
    }
    CHECK(fascia == Approx(1));
    CHECK(toes == Approx(1));
    CHECK(other.rays[1].fascia_share == Approx(0.1));
  }
  SECTION("forefoot width and arch rise are met exactly") {
    const Forefoot other =
        read_case(ready_case("standing"), {"patient.forefoot_width_mm=101", "patient.arch_rise_mm=12"}).foot;
    CHECK(forefoot_width(other) == Approx(101).epsilon(1e-9)); // bisection to rounding
    CHECK(other.rays[1].arch_rise == Approx(12));
    CHECK(other.rays[1].head_medial_of_mt2 == 0);
  }
  SECTION("every foot form at every size is a foot") {
    for (const std::string &form : foot_form_names())
      for (const int length : {150, 207, 246, 310, 350}) {
        INFO(form << " " << length);
        CHECK_NOTHROW(
            read_case(ready_case("standing"),
                      {"patient.foot_form=" + form, "patient.foot_length_mm=" + std::to_string(length)}));
      }
  }
}

TEST_CASE("the date of a calculation is ISO 8601 and follows SOURCE_DATE_EPOCH", "[cases]") {
  const char *old = std::getenv("SOURCE_DATE_EPOCH");
  const std::string kept = old ? old : "";
  // `date -u -d @1234567890 +%FT%TZ`; leap day: `date -u -d @951782400`
  setenv("SOURCE_DATE_EPOCH", "1234567890", 1);
  CHECK(calculation_date() == "2009-02-13T23:31:30Z");
  setenv("SOURCE_DATE_EPOCH", "951782400", 1);
  CHECK(calculation_date() == "2000-02-29T00:00:00Z");
  for (const char *wrong : {"", "soon", "-1", "12.5", "123456789012345678901"}) {
    setenv("SOURCE_DATE_EPOCH", wrong, 1);
    CHECK_THROWS_WITH(calculation_date(),
                      Contains("SOURCE_DATE_EPOCH") && Contains("whole seconds since 1970"));
  }
  unsetenv("SOURCE_DATE_EPOCH");
  const std::string now = calculation_date();
  CHECK(now.size() == 20);
  CHECK(now > "2025"); // text and time have the same order
  if (old)
    setenv("SOURCE_DATE_EPOCH", kept.c_str(), 1);
}

TEST_CASE("nearest names", "[cases]") {
  const std::vector<std::string> names = {"thickness_mm", "height_mm", "length_mm", "width_mm"};
  CHECK(nearest_name("heigth_mm", names) == "height_mm");
  CHECK(nearest_name("thickness_cm", names) == "thickness_mm");
  CHECK(nearest_name("thickness", names) == "thickness_mm");
  CHECK(nearest_name("Height", names) == "height_mm");
  CHECK(nearest_name("colour", names).empty());
  CHECK(edit_distance("abcd", "abdc") == 1);
  CHECK(edit_distance("", "abc") == 3);
}
