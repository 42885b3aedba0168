// Named insole and sole materials, and the hardness relation.
#pragma once
#include "geometry/insole.hpp"
#include <string>
#include <vector>

namespace raybend {

struct NamedMaterial {
  InsoleMaterial material;
  std::string meaning;
  std::string source;
};

const std::vector<NamedMaterial> &named_materials();

std::vector<std::string> material_names();

/// Throws std::logic_error if there is none of that name.
const NamedMaterial &named_material(const std::string &name);

/// Young's modulus in MPa from Shore A hardness S (10..95):
///     E = 0.0981 (56 + 7.62336 S) / (0.137505 (254 - 2.54 S))
/// Gent 1958, Rubber Chem Technol 31:896 (from memory). Made for solid rubber: for a foam take it as +-50 %.
double gent_modulus(double shore_a);

} // namespace raybend
