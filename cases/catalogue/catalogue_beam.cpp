// Catalogue rows of a beam file.
#include "cases/catalogue/catalogue_rows.hpp"

namespace raybend {

namespace {

const char *const choice = "chosen by the laboratory";

void add_section_rows(std::vector<CatalogueRow> &rows) {
  const auto size = [&rows](const char *name, const std::string &otherwise, const std::string &meaning) {
    rows.push_back(number_row(std::string("beam.section.") + name, "mm")
                       .otherwise(otherwise)
                       .within(0.05, 5000)
                       .means(meaning)
                       .from(choice));
  };
  rows.push_back(
      choice_row("beam.section.shape")
          .needed()
          .one_of({"rectangle", "circle", "ellipse", "tube", "elliptic_tube", "z_section", "layered"})
          .means("Cross-section. tube and elliptic_tube are hollow; z_section has its flanges on opposite "
                 "sides; layered is a rectangle of two materials, one above the other.")
          .from(choice));
  size("width_mm", "must be given, unless the section is round",
       "Extent along y: rectangle, ellipse, elliptic_tube, layered; of a z_section one flange with the web.");
  size("depth_mm", "must be given, unless the section is round",
       "Extent along z: rectangle, ellipse, elliptic_tube, z_section.");
  size("diameter_mm", "must be given for circle and tube", "Outer diameter of a circle or a tube.");
  size("inner_width_mm", "must be given for elliptic_tube", "Extent of the hollow along y.");
  size("inner_depth_mm", "must be given for elliptic_tube", "Extent of the hollow along z.");
  size("inner_diameter_mm", "must be given for tube", "Diameter of the hollow.");
  size("end_width_mm", "as at the start", "Width at the far end; sizes vary linearly along the axis.");
  size("end_depth_mm", "as at the start", "Depth at the far end.");
  size("end_diameter_mm", "as at the start", "Outer diameter at the far end.");
  size("end_inner_width_mm", "as at the start", "Width of the hollow at the far end.");
  size("end_inner_depth_mm", "as at the start", "Depth of the hollow at the far end.");
  size("end_inner_diameter_mm", "as at the start", "Diameter of the hollow at the far end.");
  size("thickness_mm", "must be given for z_section", "Thickness of web and flanges of a z_section.");
  size("bottom_depth_mm", "must be given for layered", "Depth of the lower layer, of [beam.material].");
  size("top_depth_mm", "must be given for layered", "Depth of the upper layer, of [beam.top_material].");
  rows.push_back(
      number_row("beam.section.step[].at_mm", "mm")
          .needed()
          .within(0, 1e5)
          .means("From here on the section has other sizes; what is not given stays. In the body it is a "
                 "short cone, a slice long, about this place.")
          .from(choice));
  for (const char *name :
       {"width_mm", "depth_mm", "diameter_mm", "inner_width_mm", "inner_depth_mm", "inner_diameter_mm"})
    rows.push_back(number_row(std::string("beam.section.step[].") + name, "mm")
                       .otherwise("as before")
                       .within(0.05, 5000)
                       .means("The section's " + std::string(name).substr(0, std::string(name).find("_mm")) +
                              " from here on.")
                       .from(choice));
}

void add_material_rows_of(std::vector<CatalogueRow> &rows, const std::string &table,
                          const std::string &what) {
  rows.push_back(number_row(table + ".e_mpa", "MPa")
                     .needed()
                     .within(1e-3, 1e7)
                     .means("Young's modulus of " + what + ".")
                     .from("measured by the laboratory, or from a data sheet"));
  rows.push_back(
      number_row(table + ".nu", "")
          .needed()
          .within(0, 0.49)
          .usual(0, 0.45)
          .means("Poisson's ratio of " + what + "; above 0.45 the cells stiffen and the band grows.")
          .from("measured by the laboratory, or from a data sheet"));
  rows.push_back(number_row(table + ".expansion_per_k", "1/K")
                     .otherwise("0")
                     .within(-1e-2, 1e-2)
                     .means("Thermal expansion of " + what + ", of length; for [beam.temperature].")
                     .from("measured by the laboratory, or from a data sheet"));
}

CatalogueRow place(const std::string &key, const std::string &otherwise, const std::string &meaning) {
  CatalogueRow r = number_row(key, "mm");
  return r.otherwise(otherwise).within(0, 1e5).means(meaning).from(choice);
}

} // namespace

void add_beam_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  add(text_row("beam.title").otherwise("the file's name").means("Title of the report.").from(no_number));
  add(text_row("beam.note")
          .otherwise("none")
          .means("Remarks printed on the report. An invented specimen says so here.")
          .from(no_number));
  add(number_row("beam.length_mm", "mm")
          .needed()
          .within(0.1, 1e5)
          .means("Length along the axis, from the start (x = 0) to the far end.")
          .from(choice));
  add(number_row("beam.radius_mm", "mm")
          .otherwise("straight")
          .within(-1e6, 1e6)
          .means("Radius of a circular axis in the plane x-z; positive bends up (+z), negative down. Not 0.")
          .from(choice));
  add(choice_row("beam.strain")
          .otherwise("small")
          .one_of({"small", "finite"})
          .means("small: linear in the load. finite: large rotations, neo-Hookean material, loads keep their "
                 "direction.")
          .from("usual practice: small below 5 deg of rotation (from memory)"));
  add(integer_row("beam.levels", "")
          .otherwise(2)
          .within(1, 4)
          .means("Meshes that are solved, each with every cell of the one before halved; the last two give "
                 "the band.")
          .from("measured: the second mesh is within 0.2 % of the third on slender beams"));
  add(integer_row("beam.load_steps", "")
          .otherwise(1)
          .within(1, 50)
          .means("strain = \"finite\": equal parts of the load whose results are kept, as a curve over the "
                 "load.")
          .from(choice));
  add_section_rows(rows);
  add_material_rows_of(rows, "beam.material", "the beam (layered: of the lower layer)");
  add_material_rows_of(rows, "beam.top_material", "the upper layer of a layered section");

  add(choice_row("beam.support[].kind")
          .needed()
          .one_of({"clamped", "soft_clamped", "pinned", "roller", "unilateral", "spring"})
          .means("clamped: an end face held wholly. soft_clamped: no mean displacement and no mean rotation, "
                 "free "
                 "to swell and to warp, as in beam theory. pinned: mean displacement of the section held. "
                 "roller: along one axis only. "
                 "unilateral: pushes only, lets go when the beam lifts. spring: along one axis, elastic.")
          .from(choice));
  add(place("beam.support[].at_mm", "must be given", "Place along the axis; clamped at an end only."));
  rows.back().needed();
  add(choice_row("beam.support[].axis")
          .otherwise("z")
          .one_of({"x", "y", "z"})
          .means("Fixed direction in which a roller or a spring holds.")
          .from(choice));
  add(choice_row("beam.support[].pushes")
          .otherwise("+z")
          .one_of({"+z", "-z", "+y", "-y"})
          .means("Direction in which a unilateral support can push the beam.")
          .from(choice));
  add(number_row("beam.support[].stiffness_n_per_mm", "N/mm")
          .otherwise("must be given for spring")
          .within(1e-6, 1e9)
          .means("Stiffness of a spring.")
          .from(choice));

  add(number_row("beam.support[].settlement_mm", "mm")
          .otherwise("0")
          .within(-1e4, 1e4)
          .means("Displacement of the support itself: along its axis, of clamps and pinned along z; negative "
                 "sinks. A "
                 "unilateral one that pushes along +z leaves a gap if it sinks.")
          .from(choice));

  add(place("beam.foundation[].from_mm", "0", "Start of the stretch that lies on an elastic foundation."));
  add(place("beam.foundation[].to_mm", "the far end", "End of that stretch."));
  add(number_row("beam.foundation[].modulus_mpa", "MPa")
          .needed()
          .within(1e-9, 1e6)
          .means("Force per length of beam and per deflection, N/mm per mm; acts along z, both ways.")
          .from(choice));

  add(choice_row("beam.load[].kind")
          .needed()
          .one_of({"force", "distributed", "moment", "torque"})
          .means("force: at one place. distributed: along a stretch. moment: bending couple at one place. "
                 "torque: couple about the axis at one place.")
          .from(choice));
  add(place("beam.load[].at_mm", "the far end", "Place of a force, a moment or a torque."));
  add(place("beam.load[].from_mm", "0", "Start of a distributed load."));
  add(place("beam.load[].to_mm", "the far end", "End of a distributed load."));
  add(choice_row("beam.load[].axis")
          .otherwise("force, distributed: z; moment: y")
          .one_of({"x", "y", "z"})
          .means("Fixed direction of a force, or axis about which a moment turns (right-hand rule).")
          .from(choice));
  add(number_row("beam.load[].angle_deg", "deg")
          .otherwise("along axis")
          .within(-360, 360)
          .means("Instead of axis: direction across the beam, from +z (0) towards +y (90).")
          .from(choice));
  add(number_row("beam.load[].force_n", "N")
          .otherwise("must be given for force")
          .within(-1e9, 1e9)
          .means("Size of a force; negative points the other way, so -10 along z presses down.")
          .from(choice));
  add(number_row("beam.load[].force_n_per_mm", "N/mm")
          .otherwise("must be given for distributed")
          .within(-1e9, 1e9)
          .means("Size of a distributed load per length of axis; negative along z presses down.")
          .from(choice));
  add(number_row("beam.load[].end_force_n_per_mm", "N/mm")
          .otherwise("as at its start")
          .within(-1e9, 1e9)
          .means("Size of a distributed load at to_mm, linear between; force_n_per_mm = 0 starts a triangle.")
          .from(choice));
  add(number_row("beam.load[].moment_n_mm", "N mm")
          .otherwise("must be given for moment and torque")
          .within(-1e12, 1e12)
          .means("Size of a moment or torque.")
          .from(choice));

  add(number_row("beam.temperature.rise_k", "K")
          .otherwise("0")
          .within(-1e4, 1e4)
          .means("Rise above the temperature free of stress, at half the depth.")
          .from(choice));
  add(number_row("beam.temperature.top_less_bottom_k", "K")
          .otherwise("0")
          .within(-1e4, 1e4)
          .means("How much warmer the highest fibre is than the lowest; linear between.")
          .from(choice));
}

} // namespace raybend
