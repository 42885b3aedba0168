// The numbers of a design as one text. Every struct is taken apart into all its members: one that is added to it and not
// named here does not compile, so that no two solves are taken for one by mistake.
#include "cases/run/alike.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <type_traits>

namespace raybend {

namespace {

std::string text_of(const InsoleMaterial &m);

template <typename Value> std::string text_of(const Value &x) {
  if constexpr (std::is_floating_point_v<Value>)
    return number_text(x, 17);
  else
    return std::to_string(static_cast<int>(x)); // whole numbers, flags, enums
}

template <typename... Values> std::string joined(const Values &...values) {
  return ((text_of(values) + " ") + ...);
}

std::string text_of(const InsoleMaterial &m) {
  const auto &[name, law, e, nu, relative_density, gas_pressure, along_e] = m;
  return joined(law, e, nu, relative_density, gas_pressure, along_e);
}

std::string text_of(const Shoe &s) {
  const auto &[kind, ball_stiffness, shank_e, shank_from, upper_force, upper_stiffness, rocker_deg,
               rocker_apex] = s;
  return joined(ball_stiffness, shank_e, shank_from, upper_force, upper_stiffness, rocker_deg, rocker_apex);
}

std::string text_of(const Layer &l) {
  const auto &[role, thickness, material, from_behind_heads, to_behind_heads, bevel] = l;
  return joined(role, thickness, material, from_behind_heads, to_behind_heads, bevel);
}

std::string text_of(const SupportElement &s) {
  const auto &[kind, profile, ray, height, length, width, behind_heads, radius, proximal_bevel, distal_bevel,
               angle_deg, shift_medial, material] = s;
  return joined(kind, profile, ray, height, length, width, behind_heads, radius, proximal_bevel, distal_bevel,
                angle_deg, shift_medial, material);
}

} // namespace

std::string alike_text(const Design &design) {
  const auto &[name, title, shoe, fit, layers, support] = design;
  std::string text = joined(fit) + "; shoe " + text_of(shoe);
  for (const Layer &layer : layers)
    text += "; layer " + text_of(layer);
  std::vector<std::string> elements;
  for (const SupportElement &element : support)
    elements.push_back("; support " + text_of(element));
  std::sort(elements.begin(), elements.end());
  for (const std::string &element : elements)
    text += element;
  return text;
}

} // namespace raybend
