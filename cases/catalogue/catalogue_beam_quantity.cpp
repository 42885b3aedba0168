// Catalogue rows of the numbers that a textbook case about a beam compares.
#include "cases/catalogue/catalogue_rows.hpp"

namespace raybend {

void add_beam_quantity_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const char *name, CatalogueRow row, const std::string &otherwise,
                           const std::string &meaning) {
    row.key = std::string("beam_quantity[].") + name;
    row.default_words = otherwise;
    rows.push_back(row.means(meaning).from("the case's author"));
  };
  add("name", text_row("").needed(), "must be given", "Words for the table of results.");
  add("kind",
      choice_row("").needed().one_of({"deflection", "deflection_size", "deflection_angle", "slope", "force",
                                      "moment", "stress", "reaction", "reaction_moment", "touching"}),
      "must be given",
      "What is read. deflection: mean of the section along axis. deflection_size, deflection_angle: across "
      "the beam, "
      "angle from z towards y. slope: rotation about axis. force, moment: section force along axis (x: axial "
      "force, "
      "torque). stress: axial. reaction, reaction_moment: of a support. touching: 1 if a unilateral support "
      "carries.");
  add("at_mm", number_row("", "mm").within(0, 1e5), "the far end", "Place along the axis.");
  add("from_mm", number_row("", "mm").within(0, 1e5), "none: the value itself",
      "deflection, slope: the value here is subtracted.");
  add("axis", choice_row("").one_of({"x", "y", "z"}), "deflection, force, reaction: z; slope, moment: y",
      "Fixed direction (deflection, reaction) or direction of the section (slope, force, moment).");
  add("support", integer_row("", "").within(1, 100), "must be given for reactions and touching",
      "Number of the support, counted from 1.");
  add("load_step", integer_row("", "").within(1, 50), "the last",
      "Number of the load step that is read (beam.load_steps); stress at the last only.");
  add("y_part", number_row("", "").within(-1, 1), "0", "stress: place across, in half widths.");
  add("z_part", number_row("", "").within(-1, 1), "1",
      "stress: height, in half depths; in a layered section -1 to 0 is the lower layer, 0 to 1 the upper "
      "one.");
  add("reference", number_row("", "").needed().within(-1e12, 1e12), "must be given",
      "Value to compare with; its formula stands beside it.");
  add("known", choice_row("").one_of({"exact", "read", "calc", "memory"}), "as the case says",
      "How the reference came to be known: exact, read in a source, calculated from a formula, or from "
      "memory.");
  add("source", text_row(""), "as the case says", "Formula or publication.");
  add("tolerance_percent", number_row("", "%").needed().within(0, 100), "must be given",
      "Largest deviation that counts as agreement.");
  add("decides", boolean_row(""), "true", "false: printed, but without a part in the verdict.");
  add("note", text_row(""), "none", "A trap or a reason, printed with the number.");
  add("why", text_row(""), "none", "Likely reason of a miss that stays.");
}

} // namespace raybend
