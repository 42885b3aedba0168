// What each kind of support element takes.
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include <stdexcept>

namespace raybend {

const std::vector<SupportKindInfo> &support_kinds() {
  using S = SupportElement;
  const SupportField ray = {"ray", nullptr}, height = {"height_mm", &S::height},
                     length = {"length_mm", &S::length}, width = {"width_mm", &S::width},
                     behind = {"behind_heads_mm", &S::behind_heads};
  static const std::vector<SupportKindInfo> kinds = {
      {SupportKind::pad,
       "pad",
       "Metatarsal pad under the shafts, just proximal of the heads: a teardrop, thickest just behind the "
       "heads and "
       "steep in front, or a dome. Seen from the side h (1 - r^2) about its crest, r = 1 at the edge.",
       {ray, height, length, width, behind, {"shift_medial_mm", &S::shift_medial}},
       true,
       "eva-35"},
      {SupportKind::bar,
       "bar",
       "Metatarsal bar: a ridge across the foot, proximal of the heads, bevelled on both slopes.",
       {height,
        length,
        width,
        behind,
        {"proximal_bevel_mm", &S::proximal_bevel},
        {"distal_bevel_mm", &S::distal_bevel}},
       true,
       "eva-35"},
      {SupportKind::arch_fill,
       "arch_fill",
       "Raises the insole under the arch, fading out at the heads.",
       {height},
       true,
       "eva-35"},
      {SupportKind::relief,
       "relief",
       "A hollow in the top surface under one head.",
       {ray, {"depth_mm", &S::height}, {"radius_mm", &S::radius}},
       false,
       ""},
      {SupportKind::u_cut_out,
       "u_cut_out",
       "A raised plateau round one head, with a U cut out of it that is open to the toe: the head lies in "
       "the gap.",
       {ray, height, length, width, {"radius_mm", &S::radius}},
       true,
       "eva-35"},
      {SupportKind::first_ray_cut_out,
       "first_ray_cut_out",
       "A hollow under the first ray from behind its head to the toe, so that it may drop.",
       {{"depth_mm", &S::height}, behind},
       false,
       ""},
      {SupportKind::first_ray_extension,
       "first_ray_extension",
       "Raised under the first ray from behind its head to the toe, often rigid: the joint bends less.",
       {height, behind},
       true,
       "polypropylene"},
      {SupportKind::wedge,
       "wedge",
       "Tilts the top surface across the foot.",
       {{"angle_deg", &S::angle_deg}},
       false,
       ""},
      {SupportKind::plate,
       "plate",
       "A stiff plate let into the insole over part of its length.",
       {{"thickness_mm", &S::height}, length, behind},
       true,
       "carbon-plate"},
      {SupportKind::hardness,
       "hardness",
       "A region of another hardness.",
       {ray, length, width, behind},
       true,
       ""},
  };
  return kinds;
}

std::vector<std::string> support_kind_names() {
  std::vector<std::string> names;
  for (const SupportKindInfo &k : support_kinds())
    names.push_back(k.name);
  return names;
}

const SupportKindInfo &support_kind(const SupportKind kind) {
  for (const SupportKindInfo &k : support_kinds())
    if (k.kind == kind)
      return k;
  throw std::logic_error("support kind without description");
}

const SupportKindInfo *find_support_kind(const std::string &name) {
  for (const SupportKindInfo &k : support_kinds())
    if (k.name == name)
      return &k;
  return nullptr;
}

const std::vector<std::string> &material_keys() {
  static const std::vector<std::string> keys = {"material",         "e_mpa",           "nu", "shore_a", "law",
                                                "relative_density", "gas_pressure_mpa"};
  return keys;
}

std::string role_name(const LayerRole role) {
  return role_names().at(static_cast<std::size_t>(role));
}

std::string role_meaning(const LayerRole role) {
  switch (role) {
  case LayerRole::sole:
    return "The shoe's sole, under the whole forefoot; its underside stands on the ground.";
  case LayerRole::plate:
    return "A stiff plate between sole and base, equally thick from end to end; may be left out.";
  case LayerRole::base:
    return "The insole's body. A foam fills what fit leaves between cover and sole. Stiffer than 100 MPa "
           "(assumed) "
           "and with fit above 0 it is a moulded shell of even thickness; the space under it, which in a "
           "workshop's "
           "shell may be hollow, is a filler foam here (E " +
           number_text(filler_foam().e) + " MPa, assumed), which goes on where the shell ends.";
  case LayerRole::cover:
    return "The top cover, under the skin. Where the base ends it comes down over the base's bevel.";
  }
  return "";
}

std::vector<std::string> role_names() {
  return {"sole", "plate", "base", "cover"};
}

} // namespace raybend
