// The catalogue row by row, the ready cases, and what a case becomes.
#include "cases/casefile/case_error.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/table_reader.hpp"
#include "cases/catalogue/activities.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/catalogue/explain.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/shoe_size.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/commands/case_report.hpp"
#include "cases/commands/check_report.hpp"
#include "cases/forefoot/design_words.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/forefoot/resolved.hpp"
#include "cases/run/alike.hpp"
#include "cases/run/progress.hpp"
#include "cases/words/calculation_date.hpp"
#include "cases/words/trade_words.hpp"
#include "cases/words/words.hpp"
#include "tests/case_files.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <set>
#include <sstream>

using namespace raybend;
using Catch::Matchers::Contains;
using Catch::Matchers::EndsWith;

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

TEST_CASE("a design that is like another, and layers of all designs, read as if written out", "[cases]") {
  const std::string head =
      "[patient]\nbody_mass_kg = 70\nfoot_length_mm = 260\nside = \"right\"\nsex = \"male\"\n"
      "painful_ray = 2\n[activity]\nkind = \"standing\"\n";
  const auto layer = [](const std::string &table, const std::string &role, const std::string &rest) {
    return "[[" + table + "]]\nrole = \"" + role + "\"\n" + rest + "\n";
  };
  const std::string sole = "thickness_mm = 8\nmaterial = \"rubber-sole\"",
                    foam = "thickness_mm = 5\nmaterial = \"eva-35\"",
                    firm = "thickness_mm = 4\nshore_a = 50\nto_behind_heads_mm = 5\nbevel_mm = 10",
                    thin = "thickness_mm = 2\nmaterial = \"cork\"",
                    plate = "thickness_mm = 1\nmaterial = \"carbon-plate\"",
                    pad = "[[designs.support]]\nkind = \"pad\"\nheight_mm = 6\n",
                    bar = "[[designs.support]]\nkind = \"bar\"\nheight_mm = 5\n";
  const auto design = [](const std::string &name, const std::string &rest) {
    return "[[designs]]\nname = \"" + name + "\"\n" + rest;
  };
  const auto own = [&](const std::string &role, const std::string &rest) {
    return layer("designs.layers", role, rest);
  };
  const std::string shared =
      head + layer("layers", "sole", sole) + layer("layers", "base", foam) + layer("layers", "cover", thin) +
      design("d", "like = \"c\"\nsupport = \"none\"\n") +
      design("a", "fit = 0.5\n[designs.shoe]\nkind = \"work\"\n" + pad) +
      design("b", "like = \"a\"\n" + own("base", firm)) +
      design("c",
             "like = \"b\"\nfit = 0\n" + own("plate", plate) + "[designs.shoe]\nrocker_deg = 12\n" + bar);
  const std::string written =
      head +
      design("d", "fit = 0\nsupport = \"none\"\n" + own("sole", sole) + own("plate", plate) +
                      own("base", firm) + own("cover", thin) +
                      "[designs.shoe]\nkind = \"work\"\nrocker_deg = 12\n") +
      design("a", "fit = 0.5\n" + own("sole", sole) + own("base", foam) + own("cover", thin) +
                      "[designs.shoe]\nkind = \"work\"\n" + pad) +
      design("b", "fit = 0.5\n" + own("sole", sole) + own("base", firm) + own("cover", thin) +
                      "[designs.shoe]\nkind = \"work\"\n" + pad) +
      design("c", "fit = 0\n" + own("sole", sole) + own("plate", plate) + own("base", firm) +
                      own("cover", thin) + "[designs.shoe]\nkind = \"work\"\nrocker_deg = 12\n" + bar);
  const Case a = read_case_from_text(shared, "a.toml"), b = read_case_from_text(written, "a.toml");
  REQUIRE(a.designs.size() == 4);
  REQUIRE(a.resolved.size() == b.resolved.size());
  for (std::size_t i = 0; i < a.resolved.size(); ++i) {
    INFO(a.resolved[i].key);
    CHECK(a.resolved[i].key == b.resolved[i].key);
    CHECK(a.resolved[i].value == b.resolved[i].value);
    CHECK(a.resolved[i].origin == b.resolved[i].origin);
  }
  CHECK(a.designs[3].layers.size() == 4);
  CHECK(a.designs[0].support.empty());
  // what --set changes of one design stays with it
  const Case set = read_case_from_text(shared, "a.toml", {"designs.a.fit=1"});
  CHECK(set.designs[1].fit == 1);
  CHECK(set.designs[2].fit == 0.5);
}

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

TEST_CASE("a key's row holds its member: read, echoed, compared", "[cases][catalogue]") {
  // every number or flag that differs makes other loads, but for the number of steps and what is only said
  const auto rows = member_rows("activity", typeid(Activity));
  CHECK(rows.size() >= 14);
  for (const CatalogueRow *r : rows) {
    INFO(r->key);
    Activity a, b;
    const double x = r->member.get(&a);
    r->member.set(&b, std::isnan(x) ? 1 : x == 0 ? 1 : 0);
    CHECK(r->member.get(&b) != x);
    CHECK(same_loads(a, b) == (r->key == "activity.steps_per_hour" || r->key == "activity.stance_percent"));
  }
  Design plain;
  for (const CatalogueRow *r : member_rows("shoe", typeid(Shoe))) {
    INFO(r->key);
    Design other;
    r->member.set(&other.shoe, r->member.get(&plain.shoe) + 1);
    CHECK(alike_text(plain) != alike_text(other));
  }
  Design named = plain;
  named.name = named.title = named.shoe.kind = "another";
  CHECK(alike_text(named) == alike_text(plain));
}

TEST_CASE("what is uncertain of patient, load and shoe has a spread with a source", "[cases][catalogue]") {
  for (const CatalogueRow &r : catalogue())
    for (const char *table : {"patient.", "activity.", "bone.", "tissue.", "shoe."})
      if (r.type == KeyType::number && r.key.compare(0, std::string(table).size(), table) == 0) {
        INFO(r.key);
        const int ray = r.key.find("rayN") == std::string::npos ? 0 : 3; // ray 2 is the origin of some
        const auto spread = r.spread(ray);
        REQUIRE(spread);
        CHECK((spread->deviation > 0 || spread->low < spread->high));
        CHECK_FALSE(spread->source.empty());
      }
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
  for (const char *name : {"warehouse", "runner", "standing", "shift", "three-quarter"}) {
    INFO(name);
    const Case c = read_case(ready_case(name));
    CHECK(c.warnings.empty());
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
  const std::string back = "designs.moulded-pad-back.support[1].", longer = back + "length_mm=45";
  REQUIRE(warnings({longer}).size() == 1);
  CHECK_THAT(
      warnings({longer})[0],
      Contains(
          ":53: designs[4].support[1].behind_heads_mm: moulded-pad-back: the pad reaches 68 mm behind "
          "the head of ray 2, but ray 2 ends at its base, 62.5 mm behind; its last 5.5 mm carry nothing"));
  CHECK(
      warnings({longer, back + "behind_heads_mm=18"}).empty()); // 0.5 mm beyond: within the tolerance of 1 mm
  CHECK(warnings({longer, back + "behind_heads_mm=19"}).size() == 1);
  REQUIRE(warnings({back + "behind_heads_mm=8", back + "ray=5", back + "length_mm=55"}).size() == 1);
  CHECK_THAT(warnings({back + "behind_heads_mm=8", back + "ray=5", back + "length_mm=55"})[0],
             Contains("ray 5 ends at its base, 56.7 mm behind")); // 60 x 258/271 x cos 5 deg
  // moved under ray 1, whose base lies nearer: 17.1 mm medially at the bases
  CHECK_THAT(warnings({longer, back + "behind_heads_mm=8", back + "shift_medial_mm=15"})[0],
             Contains("ray 1 ends"));
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
  pad.behind_heads = 8; // counts from its own ray's head
  CHECK_THAT(support_words(pad), Contains("edge 8 mm behind its head"));
  // the stiffness, however the material was given, and once
  const auto made_of = [](const std::string &made) {
    std::string text = read_case_text(ready_case("standing"));
    text.resize(text.find("support = ["));
    const Case c = read_case_from_text(text + "[[designs.support]]\nkind = \"hardness\"\n" + made, "c.toml");
    return support_words(c.designs.back().support.at(0));
  };
  CHECK_THAT(made_of("shore_a = 20\n"),
             EndsWith("Shore A 20 (E " + number_text(gent_modulus(20), 3) + " MPa)"));
  CHECK_THAT(made_of("e_mpa = 3\nnu = 0.1\n"), EndsWith(", E 3 MPa"));
  CHECK_THAT(made_of("material = \"cork\"\n"), Contains(", cork (E "));
  Layer layer;
  layer.role = LayerRole::plate;
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
  layer.role = LayerRole::base;
  layer.bevel = 12;
  CHECK(extent_words(layer) ==
        ", from 30 mm behind the heads to 5 mm in front of the heads, thinned out over 12 mm");
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
    CHECK_THAT(explain_one(key, nearest), Contains("allowed") && Contains("none needed: a choice"));
  }
  // where places along the foot count from, wherever it is asked
  const std::string behind = explain_one("behind_heads_mm", nearest);
  CHECK_THAT(behind, Contains("centre of its ray's head") && Contains("centres of all five heads"));
  CHECK_THAT(explain_one("pad", nearest), Contains("centre of the ray's head"));
  CHECK_THAT(support, Contains("centres of all five heads"));
  const auto in_one_line = [&nearest](const std::string &key) {
    std::istringstream words(explain_one(key, nearest));
    std::string text, word;
    while (words >> word)
      text += word + " ";
    return text;
  };
  CHECK_THAT(in_one_line("role"),
             Contains("stays when the design is calculated without its support elements"));
  CHECK_THAT(in_one_line("plate"), Contains("a layer with role = \"plate\" is part of the insole and stays"));
  CHECK_THAT(in_one_line("hardness"), Contains("Only the base changes"));
  CHECK_THAT(explain_one("eva-35", nearest), Contains("EVA foam") && Contains("how stiff"));
  CHECK(explain_one("EVA 35", nearest).empty());
  CHECK(nearest == "\"eva-35\"");
  for (const char *other : {"arch fill", "arch-fill", "arch_fills"})
    CHECK(explain_one(other, nearest) == explain_one("arch_fill", nearest));
  CHECK(explain_one("padd", nearest).empty());
  CHECK(nearest == "\"pad\"");
  CHECK_THAT(explain_one("ray2", nearest), Contains("[patient.ray1] to [patient.ray5]"));
  // all of a sort
  const auto lists_all = [&nearest](const char *sort, const std::vector<std::string> &names) {
    const std::string words = explain_one(sort, nearest);
    for (const std::string &name : names) {
      INFO(sort << ", " << name);
      CHECK_THAT(words, Contains("\n  " + name + " "));
    }
  };
  lists_all("materials", material_names());
  lists_all("activities", activity_names());
  lists_all("foot forms", foot_form_names());
  lists_all("kinds", support_kind_names());
}

TEST_CASE("an explained key stands alone", "[cases][catalogue]") {
  for (const CatalogueRow &r : catalogue()) {
    INFO(r.key);
    CHECK_THAT(r.meaning, !Contains("Same ") && !Contains("same measure") && !Contains("that force") &&
                              !Contains("that origin"));
  }
  std::string nearest;
  const std::string parabola = explain_one("head_behind_mt2_mm", nearest);
  CHECK_THAT(parabola, Contains("-9.1 to 7.2, 0, -0.5 to 9.4") && !Contains("0 to 0"));
  CHECK_THAT(explain_one("body_mass_kg", nearest), Contains("usual       40 to 150 kg (assumed)"));
}

TEST_CASE("an example of a key is taken as it is shown", "[cases][catalogue]") {
  const std::string example = catalogue_row("patient.foot_form").example, after = ", or of several ";
  REQUIRE(contains(example, after));
  std::string nearest;
  CHECK_THAT(explain_one("foot_form", nearest), Contains("foot_form = [\"high-arch\", \"short-first-ray\"]"));
  std::string text = read_case_text(ready_case("standing"));
  const std::string table = "[patient]\n";
  REQUIRE(contains(text, table));
  const auto foot = [&](const std::string &line) {
    std::string with = text;
    with.insert(with.find(table) + table.size(), line + "\n");
    return read_case_from_text(with, "c.toml").foot;
  };
  const Forefoot plain = read_case(ready_case("standing")).foot,
                 one = foot(example.substr(0, example.find(after))),
                 two = foot(example.substr(example.find(after) + after.size()));
  CHECK(one.rays[1].arch_rise > plain.rays[1].arch_rise);
  CHECK(one.rays[0].length == plain.rays[0].length);
  CHECK(two.rays[1].arch_rise == one.rays[1].arch_rise);
  CHECK(two.rays[0].length < plain.rays[0].length);
}

TEST_CASE("a resolved case reads back as the same case", "[cases]") {
  for (const char *name : {"warehouse", "runner", "standing", "shift", "three-quarter"}) {
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
                                         "designs[1].layers[2].thickness_mm=20",
                                         "designs[2].layers[3].to_behind_heads_mm=9",
                                         "bone.law=transverse",
                                         "bone.trabecular_e_transverse_mpa=300",
                                         "title=12 \"cm\" # x",
                                         "activity.fascia=false"};
  const Case c = read_case(ready_case("standing"), sets);
  CHECK(c.title == "12 \"cm\" # x");
  CHECK(c.foot.materials.trabecular_e_transverse == 300);
  CHECK(c.foot.materials.trabecular_g == Approx(700 / 2.6)); // not given: that of the isotropic bone
  CHECK(c.designs[0].layers[1].material.e == Approx(gent_modulus(35)));
  CHECK(c.designs[0].layers[1].material.law == MaterialLaw::foam);
  CHECK(c.designs[1].layers[1].material.law == MaterialLaw::solid);
  REQUIRE(c.warnings.size() == 2); // the spread of the two hardnesses
  CHECK_THAT(c.warnings[0], Contains("50 %"));
  const Case again = read_case_from_text(resolved_toml(c), "resolved.toml");
  REQUIRE(again.resolved.size() == c.resolved.size());
  CHECK(again.warnings.empty()); // the hardnesses are moduli now
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

TEST_CASE("blanks round the key and the value of --set are no part of them", "[cases]") {
  const Case c = read_case(ready_case("standing"), {" patient.body_mass_kg = 66", "title =\tFlat or pad? "});
  CHECK(entry(c, "patient.body_mass_kg").value == "66");
  CHECK(entry(c, "patient.body_mass_kg").origin == "--set");
  CHECK(c.title == "Flat or pad?");
  for (const char *set : {"patient.body_mass_kg = ", " = 66", "patient. body_mass_kg = 66"})
    CHECK_THROWS_AS(read_case(ready_case("standing"), {set}), CaseError);
}

TEST_CASE("titles that the pictures cannot show are told once", "[cases]") {
  const auto warnings = [](const std::vector<std::string> &sets) {
    return read_case(ready_case("standing"), sets).warnings;
  };
  CHECK(warnings({"designs[1].title=Fu\xc3\x9f, weich \xe2\x80\x94 \xc2\xb1 1 mm"}).empty());
  const auto told = warnings({"designs[1].title=\xd0\x9c\xd1\x8f\xd0\xb3\xd0\xba\xd0\xb0\xd1\x8f", // Russian
                              "designs[2].title=flat \xe2\x86\x92 pad"});                          // an arrow
  REQUIRE(told.size() == 1);
  CHECK_THAT(told[0], Contains("designs[1].title") &&
                          Contains("the titles have characters that the pictures' font lacks; pictures show "
                                   "the name in its place"));
}

TEST_CASE("origins of values", "[cases]") {
  const Case c = read_case(ready_case("runner"), {"patient.body_mass_kg=66", "designs.moulded.fit=0.9"});
  CHECK(entry(c, "patient.body_mass_kg").origin == "--set");
  CHECK(entry(c, "patient.body_mass_kg").value == "66");
  CHECK(entry(c, "patient.body_mass_kg").unit == "kg");
  CHECK(entry(c, "designs[2].fit").origin == "--set");
  CHECK(entry(c, "patient.ray2.length_mm").origin == "case, foot_form");
  CHECK(entry(c, "patient.ray3.length_mm").origin == "default");
  CHECK(entry(c, "patient.foot_length_mm").origin == "case, shoe_size");
  CHECK(entry(c, "patient.side").origin == "case");
  CHECK(entry(c, "designs[3].support[1].height_mm").origin == "case");
  CHECK(entry(c, "designs[3].support[1].height_mm").unit == "mm");
}

TEST_CASE("what follows from another key says so", "[cases]") {
  const std::vector<std::string> sets = {"patient.foot_form=low-arch",     "patient.forefoot_width_mm=95",
                                         "patient.arch_rise_mm=9",         "patient.tissue_stiffness=1.2",
                                         "activity.speed_m_s=4",           "patient.ray1.fascia_share=0.35",
                                         "designs[1].layers[2].shore_a=30"};
  const Case c = read_case(ready_case("runner"), sets);
  CHECK(c.sets == sets);
  CHECK(entry(c, "patient.ray3.declination_deg").origin == "--set, foot_form");
  CHECK(entry(c, "patient.ray3.arch_rise_mm").origin == "--set, arch_rise_mm");
  CHECK(entry(c, "patient.ray3.head_medial_of_mt2_mm").origin == "--set, forefoot_width_mm");
  CHECK(entry(c, "patient.medial_margin_mm").origin == "--set, forefoot_width_mm");
  CHECK(entry(c, "patient.ray3.length_mm").origin == "default");
  CHECK(entry(c, "tissue.mu_mpa").origin == "--set, tissue_stiffness");
  CHECK(entry(c, "tissue.mu_mpa").value == "0.06"); // 1.2 x 0.05
  CHECK(entry(c, "tissue.bulk_mpa").origin == "--set, tissue_stiffness");
  CHECK(entry(c, "activity.force_bw").origin == "--set, speed_m_s");
  CHECK(entry(c, "patient.ray1.fascia_share").origin == "--set");
  CHECK(entry(c, "patient.ray2.fascia_share").origin == "--set, fascia_share");
  CHECK(entry(c, "patient.ray2.toe_share").origin == "default");
  CHECK(entry(c, "designs[1].layers[2].e_mpa").origin == "--set, shore_a");
  // a key that is given keeps its own origin
  const Case own =
      read_case(ready_case("runner"), {"patient.foot_form=low-arch", "patient.ray3.declination_deg=7"});
  CHECK(entry(own, "patient.ray3.declination_deg").origin == "--set");
}

TEST_CASE("every change of the command line reaches the report", "[cases]") {
  // keys that stand for others, and one that takes tables away
  const std::vector<std::string> sets = {"patient.foot_form=low-arch",   "patient.forefoot_width_mm=95",
                                         "patient.arch_rise_mm=9",       "patient.tissue_stiffness=1.2",
                                         "activity.kind=running",        "activity.speed_m_s=4",
                                         "designs.flat-pad.support=none"};
  const Case c = read_case(ready_case("standing"), sets);
  const ReportInput input = report_input(c, c.day[0], "2009-02-13T23:31:30Z");
  CHECK(input.changes == sets);
  std::string top;
  for (const std::string &set : sets)
    top += "# changed on the command line: " + set + "\n";
  CHECK(case_echo(input) == top + c.source_text);
  const Case plain = read_case(ready_case("standing"));
  CHECK(case_echo(report_input(plain, plain.day[0], "")) == plain.source_text);
}

TEST_CASE("a key that nobody reads is a fault of the program", "[cases][catalogue]") {
  const toml::table table = toml::parse("resolution = \"fine\"\nload_steps = 3\n");
  ReadingLog log;
  TableReader reader(log, &table, "mesh", {"mesh"});
  reader.text("resolution");
  CHECK_THROWS_WITH(reader.refuse_unknown(),
                    Contains("mesh.load_steps") && Contains("no reader asks for it"));
  reader.integer("load_steps");
  CHECK_NOTHROW(reader.refuse_unknown());
  CHECK(log.faults.empty());
}

TEST_CASE("what is set takes the place of what says the same", "[cases]") {
  const auto origin = [](const Case &c, const std::string &key) { return entry(c, key).origin; };
  const Case force = read_case(ready_case("runner"), {"activity.force_bw=2.5"}); // the file has a speed
  CHECK(force.day[0].activity.force_bw == 2.5);
  CHECK(origin(force, "activity.force_bw") == "--set");
  const Case speed = read_case(ready_case("runner"), {"activity.speed_m_s=3"});
  CHECK(speed.day[0].activity.force_bw == Approx(2.2));
  CHECK_THROWS_WITH(read_case(ready_case("runner"), {"activity.force_bw=2.5", "activity.speed_m_s=3"}),
                    Contains("--set: activity.speed_m_s: force_bw is given too"));

  std::string text = read_case_text(ready_case("standing"));
  text.insert(text.find("[patient]\n") + 10, "tissue_stiffness = 1.3\n");
  const Case mu = read_case_from_text(text, "c.toml", {"tissue.mu_mpa=0.1"});
  CHECK(mu.foot.materials.tissue_mu == 0.1);
  CHECK(origin(mu, "tissue.bulk_mpa") == "default"); // the factor is gone
  const Case factor =
      read_case_from_text(read_case_text(ready_case("standing")) + "\n[tissue]\nmu_mpa = 0.1\n", "c.toml",
                          {"patient.tissue_stiffness=1.3"});
  CHECK(factor.foot.materials.tissue_mu == Approx(1.3 * 0.05));
  CHECK_THROWS_WITH(read_case(ready_case("standing"), {"tissue.mu_mpa=0.1", "patient.tissue_stiffness=1.3"}),
                    Contains("tissue.mu_mpa: patient.tissue_stiffness is given too"));
}

TEST_CASE("a modulus from a hardness is written with the digits of the warning", "[cases]") {
  InsoleMaterial m;
  m.name = "Shore A 40";
  m.e = gent_modulus(40); // 1.68964
  CHECK(modulus_words(m) == "1.69 MPa");
  m.name = "E 1.68964 MPa"; // as it was typed
  CHECK(modulus_words(m) == "1.68964 MPa");
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
    CHECK(small.rays[3].declination_deg == 9);
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

TEST_CASE("text of the case reaches the terminal without its control characters", "[cases]") {
  const Case c = read_case(ready_case("standing"), {"title=\"a\\u001b[31mred\"", "question=\"b\\u001b]0;c\"",
                                                    "note=\"d\\u0007\"", "designs.flat.title=\"e\\u001bf\""});
  CHECK(contains(c.title, "\033"));
  const std::string report = check_report(c);
  CHECK_THAT(report, Contains("a [31mred") && Contains("e f"));
  for (const char sign : report)
    CHECK((static_cast<unsigned char>(sign) >= 32 || sign == '\n'));
}

TEST_CASE("a line of progress is cut by characters", "[cases]") {
  CHECK(fitted("Fußgröße", 4) == "Fußg");
  CHECK(fitted("Fußgröße", 6) == "Fußgrö");
  CHECK(fitted("Fußgröße", 8) == "Fußgröße");
  CHECK(fitted("Fuß", 80) == "Fuß");
  CHECK(fitted("€", 0).empty());
}

TEST_CASE("a foot length is judged by sex", "[cases]") {
  // ANSUR II 2012 (from memory): female 246 +- 12, male 271 +- 13 mm; three standard deviations
  const auto warnings = [](const std::string &sex, const std::string &length) {
    return read_case(ready_case("standing"), {"patient.sex=" + sex, "patient.foot_length_mm=" + length})
        .warnings;
  };
  CHECK(warnings("female", "282").empty());
  CHECK(warnings("male", "282").empty());
  REQUIRE(warnings("female", "283").size() == 1);
  CHECK_THAT(
      warnings("female", "283")[0],
      Contains("--set: patient.foot_length_mm: a foot of 283 mm lies outside the usual range of a female "
               "foot, 210 to 282 mm"));
  CHECK(warnings("male", "232").empty());
  CHECK(warnings("female", "231").empty());
  REQUIRE(warnings("male", "231").size() == 1);
  CHECK_THAT(warnings("male", "231")[0], Contains("male foot, 232 to 310 mm"));
  const auto told = [](const std::vector<std::string> &list) {
    return std::count_if(list.begin(), list.end(),
                         [](const std::string &w) { return contains(w, "usual range"); });
  };
  CHECK(told(warnings("male", "205")) == 1); // outside both ranges: told once
  // a male foot of 225 mm
  const auto by_size = read_case(ready_case("runner"), {"patient.shoe_size=36"}).warnings;
  CHECK(told(by_size) == 1);
  CHECK_THAT(by_size[0], Contains("patient.shoe_size: a foot of 225 mm lies outside"));
}

TEST_CASE("a relief or wedge that would cut the base is told with the depth that is calculated", "[cases]") {
  const auto warnings = [](const std::string &support, const std::string &thickness) {
    std::string text = read_case_text(ready_case("standing"));
    text.resize(text.find("support = ["));
    return read_case_from_text(text + "[[designs.support]]\n" + support, "c.toml",
                               {"designs[2].layers[2].thickness_mm=" + thickness})
        .warnings;
  };
  const std::string relief = "kind = \"relief\"\nray = 2\ndepth_mm = 4\nradius_mm = 12\n";
  CHECK(warnings(relief, "4.9").empty()); // 0.8 mm are kept
  REQUIRE(warnings(relief, "3").size() == 1);
  CHECK_THAT(
      warnings(relief, "3")[0],
      Contains("designs[2].support[1].depth_mm: flat-pad: relief would take 4 mm off the base of 3 mm, "
               "which keeps at least 0.8 mm: calculated with 2.2 mm there"));
  const std::string wedge = "kind = \"wedge\"\nangle_deg = 6\n";
  CHECK(warnings(wedge, "8").empty());
  REQUIRE(warnings(wedge, "3").size() == 1);
  CHECK_THAT(warnings(wedge, "3")[0],
             Contains("angle_deg: flat-pad: wedge would take") && Contains("calculated with 2.2 mm there"));
}

TEST_CASE("a layer that ends before the forefoot, and what would change it, are told", "[cases]") {
  const auto warnings = [](const std::string &support, const std::vector<std::string> &sets) {
    std::string text = read_case_text(ready_case("standing"));
    text.resize(text.find("support = ["));
    return read_case_from_text(text + support, "c.toml", sets).warnings;
  };
  const std::string relief = "[[designs.support]]\nkind = \"relief\"\nray = 2\n",
                    region = "[[designs.support]]\nkind = \"hardness\"\nray = 2\nbehind_heads_mm = -10\n"
                             "length_mm = 30\nmaterial = \"eva-55\"\n",
                    pad = "[[designs.support]]\nkind = \"pad\"\nray = 2\nbehind_heads_mm = 8\n";
  const std::string base = "designs[2].layers[2].",
                    end = base + "to_behind_heads_mm=", bevel = base + "bevel_mm=";
  const auto told = [&](const std::string &support, const std::vector<std::string> &sets,
                        const std::string &words) {
    const std::vector<std::string> list = warnings(support, sets);
    INFO(words << "; found " << list.size() << ": " << (list.empty() ? "" : list.front()));
    REQUIRE(list.size() == 1);
    CHECK_THAT(list[0], Contains(words));
  };
  CHECK(warnings(relief, {}).empty());
  CHECK(warnings("", {end + "8"}).empty());
  CHECK(warnings(pad, {end + "8", bevel + "8"}).empty());
  told(relief, {end + "10"},
       "designs[2].support[1].kind: flat-pad: all of the relief lies where the base has ended, and changes "
       "nothing there");
  told(region, {end + "8", bevel + "6"}, "% of the region of another hardness lies where the base has ended");
  told(pad, {end + "30", bevel + "8"},
       "% of the pad lies where the base has ended, and stands on what is below");
  told("", {end + "150"},
       "designs[2].layers[2].to_behind_heads_mm: flat-pad: nothing of the base lies under the part of the "
       "foot "
       "that is modelled");
  told("", {end + "55"},
       "to_behind_heads_mm: flat-pad: the base is nowhere under the forefoot as thick as it says, at most");
  told("", {end + "-40"}, "to_behind_heads_mm: flat-pad: the base ends in front of the part of the foot");
  told("", {base + "from_behind_heads_mm=150"},
       "from_behind_heads_mm: flat-pad: the base begins behind the part of the foot");
  told("", {base + "from_behind_heads_mm=10"},
       "from 10 mm behind the heads to the toes; to end it there, write to_behind_heads_mm = 10");
  CHECK(warnings("", {base + "from_behind_heads_mm=50", end + "8", bevel + "8"}).empty()); // both are meant
  CHECK(warnings("", {base + "from_behind_heads_mm=1000", end + "-1000"}).empty());        // the defaults
}

TEST_CASE("the element that takes most from the base is named", "[cases]") {
  const auto warnings = [](const std::string &support, const std::vector<std::string> &sets) {
    std::string text = read_case_text(ready_case("standing"));
    text.resize(text.find("support = ["));
    return read_case_from_text(text + support, "c.toml", sets).warnings;
  };
  const std::string relief = "[[designs.support]]\nkind = \"relief\"\nray = 5\ndepth_mm = 1\n",
                    wedge = "[[designs.support]]\nkind = \"wedge\"\nangle_deg = 7\n",
                    usual_wedge = "[[designs.support]]\nkind = \"wedge\"\n";
  REQUIRE(warnings(relief + wedge, {}).size() == 1);
  CHECK_THAT(warnings(relief + wedge, {})[0],
             Contains("designs[2].support[2].angle_deg: flat-pad: wedge and relief would take"));
  REQUIRE(warnings(relief + usual_wedge, {"designs[2].layers[2].thickness_mm=2.5"}).size() == 1);
  CHECK_THAT(warnings(relief + usual_wedge, {"designs[2].layers[2].thickness_mm=2.5"})[0],
             Contains("designs[2].support[2].kind: flat-pad: wedge"));
  // a shell is tilted as a whole; the base of a moulded insole is thicker under the arch
  const std::vector<std::string> shell = {"designs[2].fit=1", "designs[2].layers[2].material=polypropylene",
                                          "designs[2].layers[2].thickness_mm=2"};
  CHECK(warnings(wedge, shell).empty());
}

TEST_CASE("elements that overlap are told with both lines", "[cases]") {
  const std::string ready = read_case_text(ready_case("standing"));
  const std::string head = ready.substr(0, ready.find("support = ["));
  const int line = std::count(head.begin(), head.end(), '\n') + 2; // of the first element's kind
  const auto warnings = [&](const std::string &support) {
    return read_case_from_text(head + support, "c.toml").warnings;
  };
  const auto at = [line](const int below) { return "line " + std::to_string(line + below); };
  const std::string pad = "[[designs.support]]\nkind = \"pad\"\n",
                    bar = "[[designs.support]]\nkind = \"bar\"\n",
                    fill = "[[designs.support]]\nkind = \"arch_fill\"\n";
  CHECK(warnings(pad).empty());
  CHECK(warnings(pad + fill).empty()); // 6 mm and what the fill has under it
  CHECK(warnings(pad + "ray = 4\nlength_mm = 40\n" + pad + "ray = 1\nlength_mm = 40\n")
            .empty()); // side by side
  const auto twice = warnings(pad + pad);
  REQUIRE(twice.size() == 2);
  CHECK_THAT(twice[0], Contains(":" + std::to_string(line + 2) +
                                ": designs[2].support[2].kind: flat-pad: the "
                                "same as the pad (" +
                                at(0) + "); both count"));
  CHECK_THAT(twice[1], Contains("pad (" + at(0) + ") and pad (" + at(2) +
                                ") lie on one another and raise the "
                                "top by up to 12 mm together; for one alone up to 10 mm are usual"));
  REQUIRE(warnings(pad + bar).size() == 1);
  CHECK_THAT(warnings(pad + bar)[0], Contains("pad (" + at(0) + ") and bar (" + at(2) + ")"));

  const auto wedge = [](const std::string &angle) {
    return "[[designs.support]]\nkind = \"wedge\"\nangle_deg = " + angle + "\n";
  };
  REQUIRE(warnings(wedge("1") + wedge("-1")).size() == 1);
  CHECK_THAT(warnings(wedge("1") + wedge("-1"))[0],
             Contains("wedge of 1 deg (" + at(0) + ") and wedge of -1 deg (" + at(3) +
                      ") tilt against each other: 0 deg together"));
  CHECK(warnings(wedge("1") + wedge("2")).empty());
  CHECK_THAT(warnings(wedge("4") + wedge("5")).back(), Contains("add up to 9 deg together; -8 to 8 deg"));

  const auto region = [](const std::string &keys) {
    return "[[designs.support]]\nkind = \"hardness\"\n" + keys;
  };
  const std::string soft = "material = \"open-cell-pu\"\n", hard = "material = \"cork\"\n";
  CHECK(warnings(region(soft) + region(hard + "ray = 5\n")).empty()); // apart
  for (const bool soft_first : {true, false}) {
    INFO(soft_first);
    const std::string large = region(soft + "length_mm = 60\n"), small = region(hard);
    const auto told = warnings(soft_first ? large + small : small + large);
    REQUIRE(told.size() == 1);
    CHECK_THAT(told[0], Contains("the smaller one counts: region (" + (soft_first ? at(4) : at(0)) +
                                 "), cork, not region (" + (soft_first ? at(0) : at(3)) + "), open-cell-pu"));
  }
  const auto equal = warnings(region(soft) + region(hard + "ray = 3\n"));
  REQUIRE(equal.size() == 1);
  CHECK_THAT(equal[0], Contains("the softer one counts: region (" + at(0) + "), open-cell-pu"));
}

TEST_CASE("nearest names", "[cases]") {
  const std::vector<std::string> names = {"thickness_mm", "height_mm", "length_mm", "width_mm"};
  CHECK(nearest_name("heigth_mm", names) == "height_mm");
  CHECK(nearest_name("thickness_cm", names) == "thickness_mm");
  CHECK(nearest_name("thickness", names) == "thickness_mm");
  CHECK(nearest_name("Height", names) == "height_mm");
  CHECK(nearest_name("colour", names).empty());
  CHECK(nearest_name("US", {"EU", "UK"}).empty()); // half of two letters is another word
  CHECK(nearest_name("eu", {"EU", "UK"}) == "EU");
  CHECK(nearest_name("al", {"all", "list"}) == "all");
  CHECK(edit_distance("abcd", "abdc") == 1);
  CHECK(edit_distance("", "abc") == 3);
}

TEST_CASE("likely names", "[cases]") {
  using Names = std::vector<std::string>;
  const Names systems = {"EU", "UK", "US men", "US women"}, kinds = {"pad", "bar", "arch_fill", "relief"};
  CHECK(likely_names("US", systems) == Names{"US men", "US women"});
  CHECK(likely_names("us-men", systems) == Names{"US men"});
  CHECK(likely_names("EU 42", systems) == Names{"EU"});
  CHECK(likely_names("met-pad", kinds) == Names{"pad"});
  CHECK(likely_names("releif", kinds) == Names{"relief"});
  CHECK(likely_names("R", {"left", "right"}) == Names{"right"});
  CHECK(likely_names("m", {"mm", "male"}).empty()); // one letter that begins several
  // what differs in its number only is not nearer for a digit that is alike
  CHECK(likely_names("eva-40", {"eva-20", "eva-35", "cork"}) == Names{"eva-20", "eva-35"});
  CHECK(likely_names("ray6", {"arch_rise_mm", "ray1", "ray2"}) == Names{"ray1", "ray2"});
  CHECK(likely_names("ray", {"painful_ray", "ray1", "ray2"}) == Names{"painful_ray"});
  CHECK(likely_names("pad_height", {"height_mm", "length_mm"}) == Names{"height_mm"});
  CHECK(likely_names("colour", kinds).empty());
  CHECK(likely_names("rays", {"painful_ray", "ray1", "ray2"}) == Names{"ray1", "ray2"});
  CHECK(likely_names("weight_kg", {"body_mass_kg", "side"}) == Names{"body_mass_kg"});
  CHECK(likely_names("heel wedge", {"wedge"}).empty()); // the model has none at the heel
  CHECK(choice_text({}).empty());
  CHECK(choice_text({"a"}) == "\"a\"");
  CHECK(choice_text({"a", "b", "c"}) == "\"a\", \"b\" or \"c\"");
}

TEST_CASE("a word of the clinic stands for a name that there is", "[cases][catalogue]") {
  std::set<std::string> names;
  for (const CatalogueRow &r : catalogue()) {
    names.insert(r.key.substr(r.key.find_last_of('.') + 1));
    names.insert(r.choices.begin(), r.choices.end());
  }
  for (const std::string &name : names_in("patient"))
    names.insert(name);
  for (const auto &[word, meant] : trade_words()) {
    INFO(word);
    CHECK((meant.empty() || names.count(meant) == 1));
    CHECK(names.count(word) == 0);
  }
}

TEST_CASE("a thousand written with a point is warned of", "[cases]") {
  const auto warnings = [](const std::string &steps) {
    std::string text = read_case_text(ready_case("standing"));
    const std::string table = "[activity]\n";
    REQUIRE(contains(text, table));
    text.insert(text.find(table) + table.size(), "steps_per_hour = " + steps + "\n");
    return read_case_from_text(text, "c.toml").warnings;
  };
  const std::string words = "1.800 is read with a decimal point; of 1800 write 1800";
  REQUIRE(warnings("1.800").size() == 1);
  CHECK_THAT(warnings("1.800")[0], Contains("activity.steps_per_hour: " + words));
  CHECK(warnings("1.800 # an hour").size() == 1);
  for (const char *meant : {"1800", "1.8", "0.180", "118.250", "0"}) {
    INFO(meant);
    CHECK(warnings(meant).empty());
  }
  CHECK_THAT(read_case(ready_case("standing"), {"activity.steps_per_hour=1.800"}).warnings.at(0),
             Contains("--set: activity.steps_per_hour: " + words));
  // usual as they stand
  CHECK(read_case(ready_case("standing"), {"patient.ray2.cortex_mm=1.800", "patient.foot_length_mm=261.000"})
            .warnings.empty());
}

TEST_CASE("a warning names the source of the usual range, not of the value", "[cases]") {
  CHECK_THAT(read_case(ready_case("standing"), {"patient.body_mass_kg=229"}).warnings.at(0),
             Contains("229 kg lies outside the usual range 40 to 150 (assumed)"));
  CHECK_THAT(read_case(ready_case("standing"), {"activity.force_bw=4"}).warnings.at(0),
             Contains("usual range 0.1 to 3.5 (assumed)"));
}
