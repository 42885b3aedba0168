// The table of named shoes, with the source of each number.
#include "cases/catalogue/shoes.hpp"
#include <stdexcept>

namespace raybend {

namespace {

constexpr double upper_n = 30,
                 upper_n_per_mm = 20; // 10-60 N over the instep (from memory, shaky); stiffness assumed

NamedShoe shoe(const std::string &kind, const double ball, const double shank_e, const double sole_mm,
               const std::string &sole, const double least, const double most, const std::string &meaning,
               const std::string &source) {
  NamedShoe n;
  n.shoe.kind = kind;
  n.shoe.ball_stiffness = ball;
  n.shoe.shank_e = shank_e;
  n.shoe.upper_force = upper_n;
  n.shoe.upper_stiffness = upper_n_per_mm;
  n.sole_thickness = sole_mm;
  n.sole_material = sole;
  n.least = least;
  n.most = most;
  n.meaning = meaning;
  n.source = source;
  return n;
}

std::vector<NamedShoe> table() {
  std::vector<NamedShoe> all = {
      shoe("light", 0.15, 0, 8, "rubber-sole", 0.1, 0.2, "A light, flexible everyday shoe.",
           "0.1-0.2 N m/deg at the ball (from memory, shaky); sole assumed"),
      shoe("running", 0.27, 0, 20, "midsole-eva", 0.2, 0.35, "A running shoe without a plate.",
           "0.2-0.35 N m/deg: Roy & Stefanyshyn 2006 and later (from memory); sole assumed"),
      shoe("running-plate", 0.75, 0, 20, "midsole-eva", 0.5, 1.0,
           "A running shoe with a carbon plate in its midsole.",
           "0.5-1.0 N m/deg: Roy & Stefanyshyn 2006 and later (from memory); sole assumed"),
      shoe("work", 0.3, 60, 8, "rubber-sole", 0.2, 0.4, "A work shoe with a fibre shank up to the ball.",
           "between light and steel-shanked shoes (assumed); shank assumed"),
      shoe("work-steel-shank", 0.6, 300, 8, "rubber-sole", 0.4, 1.0,
           "A work or safety shoe with a steel shank up to the ball.",
           "0.4-1.0 N m/deg (from memory, shaky); shank as 20 x 1.5 mm of steel over the sole's thickness "
           "(assumed)"),
      shoe("rocker", 2.0, 300, 15, "rubber-sole", 1.5, 4.0,
           "A stiff shoe whose sole rises distal of an apex behind the heads, so that it rolls in place of "
           "bending.",
           "1.5-4 N m/deg of stiff boots (from memory, shaky); apex 15 mm behind the heads and 15 degrees: "
           "common "
           "practice, no source"),
  };
  all.back().shoe.rocker_deg = 15;
  all.back().shoe.rocker_apex = 15;
  NamedShoe bare = shoe("barefoot", 0, 0, 2, "rubber-sole", 0, 0,
                        "No shoe: rigid ground under the skin, whatever the designs are.", "no number");
  bare.shoe.upper_force = bare.shoe.upper_stiffness = 0;
  all.push_back(bare);
  return all;
}

} // namespace

const std::vector<NamedShoe> &named_shoes() {
  static const std::vector<NamedShoe> shoes = table();
  return shoes;
}

std::vector<std::string> shoe_names() {
  std::vector<std::string> names;
  for (const NamedShoe &n : named_shoes())
    names.push_back(n.shoe.kind);
  return names;
}

const NamedShoe &named_shoe(const std::string &name) {
  for (const NamedShoe &n : named_shoes())
    if (n.shoe.kind == name)
      return n;
  throw std::logic_error("no shoe named \"" + name + "\"");
}

} // namespace raybend
