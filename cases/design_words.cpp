#include "cases/design_words.hpp"
#include "cases/support_kinds.hpp"
#include "cases/words.hpp"

namespace raybend {

std::string support_words(const SupportElement &e) {
  const auto mm = [](const double x) { return number_text(x, 10) + " mm"; };
  const std::string ray = "ray " + std::to_string(e.ray);
  const auto edge = [&mm](const double behind) {
    return behind >= 0 ? mm(behind) + " behind the heads" : mm(-behind) + " in front of the heads";
  };
  switch (e.kind) {
  case SupportKind::pad:
    return "pad under " + ray + ": " + number_text(e.length, 10) + " x " + number_text(e.width, 10) + " x " +
           mm(e.height) + " high, edge " + edge(e.behind_heads) +
           (e.shift_medial != 0 ? ", shifted " + mm(e.shift_medial) + " medially" : "") + ", " +
           e.material.name;
  case SupportKind::bar:
    return "bar: " + mm(e.height) + " high, crest " + mm(e.length) + ", bevels " + mm(e.proximal_bevel) +
           " proximal and " + mm(e.distal_bevel) + " distal, edge " + edge(e.behind_heads) +
           (e.width > 0 ? ", " + mm(e.width) + " wide" : ", across all rays") + ", " + e.material.name;
  case SupportKind::arch_fill:
    return "arch fill: " + mm(e.height) + " high, " + e.material.name;
  case SupportKind::relief:
    return "relief under the head of " + ray + ": " + mm(e.height) + " deep, radius " + mm(e.radius);
  case SupportKind::wedge:
    return "wedge: " + number_text(e.angle_deg) + " deg, " + (e.angle_deg >= 0 ? "medial" : "lateral") +
           " side up";
  case SupportKind::plate:
    return "plate: " + mm(e.height) + " thick, " + mm(e.length) + " long, edge " + edge(e.behind_heads) +
           ", " + e.material.name;
  case SupportKind::hardness:
    return "region under " + ray + ": " + number_text(e.length, 10) + " x " + mm(e.width) + ", edge " +
           edge(e.behind_heads) + ", " + e.material.name;
  }
  return "";
}

std::string fit_words(const double fit) {
  return fit == 0 ? "flat" : fit == 1 ? "moulded" : "between flat and moulded";
}

std::vector<std::string> design_words(const Design &design) {
  std::vector<std::string> list = {"fit " + number_text(design.fit) + " (" + fit_words(design.fit) + ")"};
  for (const Layer &l : design.layers) {
    const bool everywhere = l.from_behind_heads >= 1000 && l.to_behind_heads <= -1000;
    list.push_back(role_name(l.role) + " " + number_text(l.thickness, 10) + " mm " + l.material.name +
                   " (E " + number_text(l.material.e) + " MPa)" +
                   (everywhere ? ""
                               : " from " + number_text(l.from_behind_heads) + " to " +
                                     number_text(l.to_behind_heads) + " mm behind the heads"));
  }
  if (design.support.empty())
    list.push_back("no support element");
  for (const SupportElement &e : design.support)
    list.push_back(support_words(e));
  return list;
}

} // namespace raybend
