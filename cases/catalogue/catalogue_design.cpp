// Catalogue rows of [[designs]], [[designs.layers]] and [[designs.support]].
#include "cases/catalogue/catalogue_rows.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/support_kinds.hpp"

namespace raybend {

namespace {

/// Of a key that counts from it.
const char *const line_of_heads = "the line of the heads, the curve in plan through the centres of all five "
                                  "heads: under each ray it counts from that ray's own head";

/// What something is made of: a named class, or E and nu, or a Shore A hardness.
void add_made_of_rows(std::vector<CatalogueRow> &rows, const std::string &table,
                      const std::string &default_words) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  add(choice_row(table + ".material")
          .otherwise(default_words)
          .one_of(material_names())
          .means("Named material. Give this, or e_mpa and nu, or shore_a. `raybend explain NAME` shows its "
                 "numbers.")
          .from("per material; see `raybend explain NAME`"));
  add(number_row(table + ".e_mpa", "MPa")
          .otherwise("of the named material")
          .deviates_by_part(0.15, "batches of one material: assumed")
          .within(0.02, 250000)
          .usual(0.1, 130000)
          .means("Young's modulus in compression at small strain; of a foam, that of its skeleton, to which "
                 "the gas in closed cells adds (14 % to 0.3 MPa, 3 % to 2 MPa). Needs nu beside it.")
          .from("insole materials 0.15 to 130000 MPa (from memory)"));
  add(number_row(table + ".nu", "")
          .otherwise("of the named material; with shore_a: foam 0.15, solid 0.45")
          .within(0, 0.49)
          .means("Poisson's ratio: how much it bulges sideways when pressed.")
          .from("foams 0-0.3, solids 0.3-0.45: common practice, no source"));
  add(number_row(table + ".shore_a", "")
          .otherwise("of the named material")
          .within(10, 95)
          .usual(15, 90)
          .means("Shore A hardness, turned into E by Gent's relation. Made for solid rubber: for a foam E is "
                 "+-50 %.")
          .from("Gent 1958 (from memory)"));
  add(choice_row(table + ".law")
          .otherwise("foam below 20 MPa, solid from 20 MPa")
          .one_of({"foam", "solid"})
          .means("Foam: skeleton and gas in closed cells, stiffening when crushed. Solid: compressible "
                 "neo-Hookean. Beside "
                 "e_mpa or shore_a only.")
          .from("assumed"));
  add(number_row(table + ".relative_density", "")
          .otherwise(0.2)
          .within(0.01, 0.9)
          .usual(0.03, 0.5)
          .means("Foam density over the density of its solid; crushing ends near it. Foams given by e_mpa or "
                 "shore_a only.")
          .from("assumed; EVA midsole 0.16-0.26: Verdejo & Mills 2002 (read)"));
  add(number_row(table + ".gas_pressure_mpa", "MPa")
          .otherwise(0.1)
          .within(0, 0.3)
          .usual(0, 0.1, "assumed")
          .means("Pressure of the gas in the cells, unloaded: 0.1 for closed cells, 0 for open cells. Foams "
                 "given by e_mpa "
                 "or shore_a only.")
          .from("air pressure: Mills (from memory)"));
}

} // namespace

void add_design_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  add(label_row("designs[].name")
          .needed()
          .means("Short name, unique in the case: lower-case letters, digits and hyphens.")
          .from(no_number));
  add(text_row("designs[].title")
          .otherwise("the name")
          .means("Words for people, other ones for each design.")
          .from(no_number));
  add(text_row("designs[].like")
          .otherwise("none")
          .means("Name of another design of the case: all of it but name and title counts here too. What is "
                 "given here "
                 "counts instead: a layer for the one with its role, a key of the shoe, all support elements "
                 "together "
                 "(support = \"none\" for none). --set changes one design, not those that are like it.")
          .from(no_number));
  add(number_row("designs[].fit", "")
          .otherwise(0)
          .within(0, 1)
          .means(
              "How closely the top follows the unloaded plantar surface: 0 flat, 1 moulded (total contact).")
          .from(no_number));
  add(choice_row("designs[].layers[].role")
          .needed()
          .one_of(role_names())
          .means("Place in the stack, from the ground up: sole, plate, base, cover. Sole, base and cover "
                 "once each; the "
                 "plate may be left out. A plate here stays when the design is calculated without its "
                 "support elements; a plate that is itself the question is a [[designs.support]] with "
                 "kind = \"plate\".")
          .from(no_number));
  add(number_row("designs[].layers[].thickness_mm", "mm")
          .needed()
          .within(0.3, 60)
          .usual(0.5, 40, "assumed")
          .means("Thickness as made, before any support element. Of a moulded design: under the heads, where "
                 "the fit adds nothing.")
          .from("chosen by the maker"));
  add_made_of_rows(rows, "designs[].layers[]", "must be given, or e_mpa and nu, or shore_a");
  add(number_row("designs[].layers[].from_behind_heads_mm", "mm")
          .otherwise(whole_foot)
          .within(-whole_foot, whole_foot)
          .means(std::string("Of a plate, base or cover: its proximal end, proximal (positive) of ") +
                 line_of_heads +
                 ". Where a plate is not, the base takes its place (where the base has ended too, the "
                 "sole); where a base or cover is not, the top surface comes down by what is missing, and "
                 "what goes on lies on what is below.")
          .from("default: whole foot"));
  add(number_row("designs[].layers[].to_behind_heads_mm", "mm")
          .otherwise(-whole_foot)
          .within(-whole_foot, whole_foot)
          .means("Of a plate, base or cover: its distal end, proximal (positive) of the line of the heads; "
                 "negative is in front of it. A three-quarter-length shell has 8 here, for example; its "
                 "cover goes on, comes down over the bevel and lies on what is below. What ends behind "
                 "the toes leaves them lower, so that they carry less.")
          .from("default: whole foot"));
  add(number_row("designs[].layers[].bevel_mm", "mm")
          .otherwise(15)
          .within(5, 60)
          .means("Of a base or cover that ends under the forefoot: length over which it thins out to "
                 "nothing at its ends. The thin edge lies at from_behind_heads_mm or to_behind_heads_mm, "
                 "the bevel inside, at least as long as the layer is thick (thickness_mm). An edge cut "
                 "square is "
                 "5 mm here, the shortest that the mesh resolves.")
          .from("default: edges are ground thin so that the foot feels no step; common practice, no source"));
}

void add_support_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  const auto key = [](const char *kind, const char *name) {
    return std::string("designs[].support[") + kind + "]." + name;
  };
  const std::string practice = "common practice, no source";
  add(choice_row("designs[].support[].kind")
          .needed()
          .one_of(support_kind_names())
          .means("Kind of support element. A design without any says support = \"none\" or leaves it out.")
          .from(no_number));
  add_made_of_rows(rows, "designs[].support[]",
                   "pad, bar, arch_fill: eva-35; plate: carbon-plate; hardness: must be given");

  const auto ray_row = [&](const char *kind) {
    add(integer_row(key(kind, "ray"), "")
            .otherwise("the painful ray")
            .within(1, 5)
            .means("Ray that it is centred under.")
            .from(no_number));
  };
  ray_row("pad");
  add(number_row(key("pad", "height_mm"), "mm")
          .otherwise(6)
          .within(0.5, 15)
          .usual(3, 10)
          .means("Rise of the pad's crest above the top surface.")
          .from(practice + "; 5 and 10 mm compared by Brodtkorb 2008 (title read)"));
  add(choice_row(key("pad", "profile"))
          .otherwise("teardrop")
          .one_of({"teardrop", "dome"})
          .means("Shape: a teardrop's crest lies at a quarter of its length from the distal edge, a dome's "
                 "in the "
                 "middle; h (1 - r^2) on either side.")
          .from("crest at 3/4 to 5/6 of the length from the rear: makers' descriptions (read)"));
  add(number_row(key("pad", "length_mm"), "mm")
          .otherwise(50)
          .within(10, 90)
          .usual(25, 80)
          .means("Length along the foot.")
          .from("55-75 mm (from memory), less what would reach behind the bases of a usual foot"));
  add(number_row(key("pad", "width_mm"), "mm")
          .otherwise(50)
          .within(8, 110)
          .usual(20, 80)
          .means("Width across the foot.")
          .from(practice));
  add(number_row(key("pad", "behind_heads_mm"), "mm")
          .otherwise(8)
          .deviates(2, "as glued, against the foot: assumed")
          .within(-30, 70)
          .usual(-5, 25, "assumed")
          .means(
              "Distal edge of the pad, proximal of the centre of its ray's head; negative is distal of it.")
          .from("best relief 6-11 mm proximal: Hastings 2007 (from memory)"));
  add(number_row(key("pad", "crest_behind_heads_mm"), "mm")
          .otherwise("behind_heads_mm and a quarter (dome: half) of the length")
          .within(-20, 110)
          .means("In place of behind_heads_mm: the pad's highest line, proximal of the centre of its ray's "
                 "head. It is "
                 "what the foot feels.")
          .from("follows from edge and profile"));
  add(number_row(key("pad", "shift_medial_mm"), "mm")
          .otherwise(0)
          .within(-40, 40)
          .usual(-15, 15)
          .means("Centre moved medially from the ray's axis.")
          .from(practice));

  add(number_row(key("bar", "height_mm"), "mm")
          .otherwise(6)
          .within(0.5, 15)
          .usual(3, 10)
          .means("Rise of the crest above the top surface.")
          .from(practice));
  add(number_row(key("bar", "length_mm"), "mm")
          .otherwise(10)
          .within(0, 60)
          .usual(3, 30)
          .means("Flat crest between the two bevels, along the foot.")
          .from("assumed"));
  add(number_row(key("bar", "width_mm"), "mm")
          .otherwise("0: across all rays")
          .within(0, 140)
          .means("Width across the foot, its middle under the painful ray; 0 is across all rays.")
          .from(practice));
  rows.back().default_values = {0};
  add(number_row(key("bar", "behind_heads_mm"), "mm")
          .otherwise(8)
          .deviates(2, "as glued, against the foot: assumed")
          .within(-30, 70)
          .usual(-5, 25, "assumed")
          .means(std::string("Distal edge of the bar, proximal of ") + line_of_heads + ".")
          .from("just proximal of the heads: J Foot Ankle Res 2014 7:18 (read); 8 mm assumed"));
  add(number_row(key("bar", "proximal_bevel_mm"), "mm")
          .otherwise(25)
          .within(1, 60)
          .usual(5, 40, "assumed")
          .means("Length of the proximal slope.")
          .from("bevel over 25 mm: J Foot Ankle Res 2014 7:18 (read)"));
  add(number_row(key("bar", "distal_bevel_mm"), "mm")
          .otherwise(10)
          .within(1, 60)
          .usual(3, 25, "assumed")
          .means("Length of the distal slope.")
          .from("bevel over 10 mm: J Foot Ankle Res 2014 7:18 (read)"));

  add(number_row(key("arch_fill", "height_mm"), "mm")
          .otherwise(6)
          .within(0.5, 25)
          .usual(2, 15)
          .means("Rise at the proximal end of the forefoot.")
          .from(practice));

  ray_row("relief");
  add(number_row(key("relief", "depth_mm"), "mm")
          .otherwise(3)
          .within(0.2, 12)
          .usual(1, 6)
          .means("Depth of the hollow.")
          .from(practice + "; 4 mm plugs in Actis 2008 (read)"));
  add(number_row(key("relief", "radius_mm"), "mm")
          .otherwise(12)
          .within(4, 40)
          .usual(8, 20)
          .means("Radius of the hollow, centred under the head.")
          .from(practice));

  add(number_row(key("wedge", "angle_deg"), "deg")
          .otherwise(4)
          .within(-15, 15)
          .usual(-8, 8)
          .means("Tilt across the foot; positive raises the medial side.")
          .from(practice));

  ray_row("u_cut_out");
  add(number_row(key("u_cut_out", "height_mm"), "mm")
          .otherwise(5)
          .within(0.5, 12)
          .usual(3, 8)
          .means("Thickness of the plateau round the head.")
          .from(practice));
  add(number_row(key("u_cut_out", "length_mm"), "mm")
          .otherwise(40)
          .within(10, 90)
          .usual(25, 60)
          .means("How far the plateau reaches behind the head's centre.")
          .from(practice));
  add(number_row(key("u_cut_out", "width_mm"), "mm")
          .otherwise(55)
          .within(20, 110)
          .usual(35, 90)
          .means("Width of the plateau across the foot.")
          .from(practice));
  add(number_row(key("u_cut_out", "radius_mm"), "mm")
          .otherwise(12)
          .within(6, 25)
          .usual(9, 16)
          .means("Radius of the U round the head's centre; towards the toe it stays open.")
          .from(practice));

  add(number_row(key("first_ray_cut_out", "depth_mm"), "mm")
          .otherwise(3)
          .within(0.5, 10)
          .usual(2, 5)
          .means("Depth of the hollow.")
          .from(practice));
  add(number_row(key("first_ray_cut_out", "behind_heads_mm"), "mm")
          .otherwise(15)
          .within(0, 60)
          .usual(5, 30)
          .means("Where the hollow begins behind the first head; it runs on to the toe.")
          .from(practice));
  add(number_row(key("first_ray_extension", "height_mm"), "mm")
          .otherwise(3)
          .within(0.5, 8)
          .usual(1.5, 5)
          .means("Thickness of the extension.")
          .from(practice));
  add(number_row(key("first_ray_extension", "behind_heads_mm"), "mm")
          .otherwise(25)
          .within(0, 60)
          .usual(10, 40)
          .means("Where the extension begins behind the first head; it runs on to the toe.")
          .from(practice));

  add(number_row(key("plate", "thickness_mm"), "mm")
          .otherwise(1)
          .within(0.3, 6)
          .usual(0.5, 3)
          .means("Thickness of the plate.")
          .from(practice));
  add(number_row(key("plate", "length_mm"), "mm")
          .otherwise(80)
          .within(10, 350)
          .usual(30, 300)
          .means("Length along the foot.")
          .from(practice));
  add(number_row(key("plate", "behind_heads_mm"), "mm")
          .otherwise(-20)
          .within(-80, 70)
          .usual(-60, 40)
          .means(std::string("Distal edge of the plate, proximal of ") + line_of_heads +
                 "; negative is distal of it, under the toes.")
          .from(practice));

  ray_row("hardness");
  add(number_row(key("hardness", "length_mm"), "mm")
          .otherwise(30)
          .within(5, 200)
          .usual(10, 100)
          .means("Length of the region along the foot.")
          .from(practice));
  add(number_row(key("hardness", "width_mm"), "mm")
          .otherwise(25)
          .within(5, 140)
          .usual(10, 110)
          .means("Width of the region across the foot.")
          .from(practice));
  add(number_row(key("hardness", "behind_heads_mm"), "mm")
          .otherwise(-15)
          .within(-80, 120)
          .usual(-30, 60)
          .means(std::string("Distal edge of the region, proximal of ") + line_of_heads +
                 "; negative is distal of it.")
          .from(practice));
}

void add_design_tables(std::vector<CatalogueTable> &tables) {
  tables.push_back({"designs[]",
                    "One insole design: its layers from the ground up, each a [[designs.layers]], and what "
                    "is built onto it, each a [[designs.support]]. A case has two to twelve to compare."});
  tables.push_back(
      {"designs[].layers[]",
       "One layer, from the ground up: the shoe's sole, a plate if there is one, the "
       "insole's base, its top cover. It takes role, thickness_mm and what it is "
       "made of: material, or e_mpa with nu, or shore_a; all but the sole can end under the forefoot "
       "(from_behind_heads_mm, to_behind_heads_mm), a base or cover with a bevel_mm. "
       "[[layers]] at the top of the file are the layers of all designs; a design's own counts instead of "
       "the one with its role."});
  tables.push_back(
      {"designs[].support[]",
       "One support element, a thing built onto the insole or taken out of it. kind "
       "says which; each kind has keys of its own. Lengths run along the foot, "
       "widths across it. behind_heads_mm counts backwards (proximally) along the foot, "
       "negative is in front: of a pad from the centre of its ray's head, of other kinds "
       "from the line of the heads. That is no straight line but the curve, seen from above, "
       "through the centres of all five heads (the fifth lies about 20 mm behind the second), so "
       "that under each ray it counts from that ray's own head. The order of the elements "
       "changes nothing. Where pads, bars and fills overlap, their heights add up, from the "
       "base up a fill, a bar, a pad, and of one kind the stiffer one lower (assumed)."});
  // what the lengths of each kind are measured from; support_kinds() says what the thing is
  static const std::pair<SupportKind, const char *> measures[] = {
      {SupportKind::pad,
       "It lifts the shafts to take load off the heads. length_mm runs along the foot, width_mm "
       "across it, both edge to edge; height_mm is the rise at its crest. behind_heads_mm is the distance "
       "from the "
       "centre of the ray's head back to the pad's distal (front) edge, crest_behind_heads_mm, in its place, "
       "that back to "
       "the crest; shift_medial_mm moves the pad towards the big toe, and both still count from that ray's "
       "head."},
      {SupportKind::u_cut_out,
       "It bears round the head and leaves the head free. Its edges rise over 6 mm (assumed); the U stays "
       "open to the "
       "toe, behind the head it is round. length_mm and radius_mm count from the head's centre."},
      {SupportKind::first_ray_cut_out,
       "It lets the first ray drop, so that the joint of the big toe may bend. It takes no material."},
      {SupportKind::first_ray_extension, "It holds the big toe's joint straight. Under the first ray alone, "
                                         "its edges rise over 6 mm (assumed)."},
      {SupportKind::bar,
       "It lifts the shafts of all rays together. From front to back it has the distal bevel, the "
       "flat crest and the proximal bevel: distal_bevel_mm, length_mm, proximal_bevel_mm. "
       "behind_heads_mm is the distance from the line of the heads, which runs through all five, back to its "
       "front edge, under each ray from that ray's own head; height_mm "
       "is the crest's rise, width_mm its width across the foot, 0 for all rays."},
      {SupportKind::arch_fill,
       "It supports the medial arch. It begins 15 mm behind the line of the heads, which runs through all "
       "five, and has its whole height_mm from 50 mm behind on, under the rays of the big-toe side; towards "
       "the "
       "fourth ray it runs out."},
      {SupportKind::relief,
       "It takes load off that head; neighbouring heads carry more. depth_mm is measured at the "
       "middle, under the head's centre, radius_mm from there to the rim, where the hollow runs "
       "out flat. It takes no material."},
      {SupportKind::wedge,
       "A posting of the forefoot over the whole length of the model, of a foam base as far as it goes: a "
       "positive angle_deg raises "
       "the medial (big-toe) side, a negative one the lateral side; under the third ray the height "
       "stays. The angles of several wedges add up. It takes no material."},
      {SupportKind::plate,
       "It lies between the shoe's sole and the insole's base, over the whole width, and keeps the "
       "forefoot from bending. length_mm runs back along the foot from its front edge; "
       "behind_heads_mm is where that edge lies, behind the line of the heads, which runs through all five; "
       "negative is in front of it, under the toes. Like every support element it is taken away where a "
       "design is calculated without them; a layer with role = \"plate\" is part of the insole and stays. "
       "Plates of a design, layer or element, lie in one row: equally thick, and none on another."},
      {SupportKind::hardness,
       "A plug or patch: the base keeps its shape and is made of another material there, softer "
       "or harder. Only the base changes: cover, plate and what pads, bars and fills add keep their own "
       "material. Where two regions overlap, the smaller one counts, of two equally large ones the softer "
       "one. length_mm runs along the foot, width_mm across it with its middle under the ray; "
       "behind_heads_mm is where its front edge lies, behind the line of the heads, which runs through all "
       "five (under each ray it counts from that ray's own head); negative is in front. The material must "
       "be given: a name, e_mpa and nu, or shore_a, of which `raybend check` shows the E that follows."},
  };
  for (const auto &[kind, words] : measures) {
    const SupportKindInfo &info = support_kind(kind);
    tables.push_back({"designs[].support[" + info.name + "]", info.meaning + " " + words});
  }
}

} // namespace raybend
