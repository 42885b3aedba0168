// What a design is made of, in words.
#include "cases/forefoot/design_words.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include <cmath>

namespace raybend {

namespace {

std::string mm(const double x) {
  return number_text(x, 10) + " mm";
}

/// A place along the foot.
std::string edge(const double behind, const std::string &what = "the heads") {
  return mm(std::abs(behind)) + (behind >= 0 ? " behind " : " in front of ") + what;
}

/// "eva-35 (E 2 MPa)"; a material given by its E has that for a name.
std::string material_words(const InsoleMaterial &m) {
  return m.name == "E " + number_text(m.e) + " MPa" ? m.name : m.name + " (E " + modulus_words(m) + ")";
}

} // namespace

std::string support_words(const SupportElement &e) {
  const std::string ray = "ray " + std::to_string(e.ray);
  switch (e.kind) {
  case SupportKind::pad:
    return std::string(e.profile == PadProfile::dome ? "dome" : "teardrop") + " pad under " + ray + ": " +
           number_text(e.length, 10) + " x " + number_text(e.width, 10) + " x " + mm(e.height) +
           " high, edge " + edge(e.behind_heads, "its head") + ", crest " +
           edge(e.crest_behind_heads(), "it") +
           (e.shift_medial > 0   ? ", shifted " + mm(e.shift_medial) + " medially"
            : e.shift_medial < 0 ? ", shifted " + mm(-e.shift_medial) + " laterally"
                                 : "") +
           ", " + material_words(e.material);
  case SupportKind::bar:
    return "bar: " + mm(e.height) + " high, crest " + mm(e.length) + ", bevels " + mm(e.proximal_bevel) +
           " proximal and " + mm(e.distal_bevel) + " distal, edge " + edge(e.behind_heads) +
           (e.width > 0 ? ", " + mm(e.width) + " wide" : ", across all rays") + ", " +
           material_words(e.material);
  case SupportKind::arch_fill:
    return "arch fill: " + mm(e.height) + " high, " + material_words(e.material);
  case SupportKind::relief:
    return "relief under the head of " + ray + ": " + mm(e.height) + " deep, radius " + mm(e.radius);
  case SupportKind::u_cut_out:
    return "U-shaped cut-out round the head of " + ray + ": plateau " + mm(e.height) + " high, to " +
           mm(e.length) + " behind the head, " + mm(e.width) + " wide, radius " + mm(e.radius) + ", " +
           material_words(e.material);
  case SupportKind::first_ray_cut_out:
    return "cut-out under the first ray: " + mm(e.height) + " deep, from " + mm(e.behind_heads) +
           " behind its head to the toe";
  case SupportKind::first_ray_extension:
    return "extension under the first ray: " + mm(e.height) + " high, from " + mm(e.behind_heads) +
           " behind its head to the toe, " + material_words(e.material);
  case SupportKind::wedge:
    return "wedge: " + number_text(e.angle_deg) + " deg, " + (e.angle_deg >= 0 ? "medial" : "lateral") +
           " side up";
  case SupportKind::plate:
    return "plate: " + mm(e.height) + " thick, " + mm(e.length) + " long, edge " + edge(e.behind_heads) +
           ", " + material_words(e.material);
  case SupportKind::hardness:
    return "region under " + ray + ": " + number_text(e.length, 10) + " x " + mm(e.width) + ", edge " +
           edge(e.behind_heads) + ", " + material_words(e.material);
  }
  return "";
}

std::string modulus_words(const InsoleMaterial &m) {
  const bool by_shore = m.name.rfind("Shore", 0) == 0; // a hardness gives no more than three digits
  return number_text(m.e, by_shore ? 3 : 6) + " MPa";
}

std::string fit_words(const double fit) {
  return fit == 0 ? "flat" : fit == 1 ? "moulded" : "between flat and moulded";
}

std::string filler_words(const Design &design, const Layer &l) {
  if (l.role != LayerRole::base || !design.is_moulded_shell())
    return "";
  return " on " + filler_foam().name + " (E " + modulus_words(filler_foam()) + ", assumed)";
}

std::string extent_words(const Layer &l) {
  if (!l.begins() && !l.ends())
    return "";
  return ", from " + (l.begins() ? edge(l.from_behind_heads) : "the proximal end") + " to " +
         (l.ends() ? edge(l.to_behind_heads) : "the front end") +
         (l.bevelled() ? ", thinned out over " + mm(l.bevel) : "");
}

static std::string shoe_words(const Shoe &shoe) {
  if (shoe.kind == "barefoot")
    return "no shoe";
  return "shoe: " + shoe.kind + ", " + number_text(shoe.ball_stiffness, 3) + " N m per degree at the ball" +
         (shoe.shank_e > 0 ? ", shank to " + edge(shoe.shank_from) : "") +
         (shoe.has_rocker() ? ", rocker of " + number_text(shoe.rocker_deg, 3) + " deg from " +
                                  edge(shoe.rocker_apex) + " on"
                            : "");
}

std::vector<std::string> design_words(const Design &design) {
  std::vector<std::string> list = {"fit " + number_text(design.fit) + " (" + fit_words(design.fit) + ")"};
  for (const Layer &l : design.layers) {
    list.push_back(role_name(l.role) + " " + number_text(l.thickness, 10) + " mm " +
                   material_words(l.material));
    list.back() += filler_words(design, l) + extent_words(l);
  }
  if (design.support.empty())
    list.push_back("no support element");
  for (const SupportElement &e : design.support)
    list.push_back(support_words(e));
  list.push_back(shoe_words(design.shoe));
  return list;
}

} // namespace raybend
