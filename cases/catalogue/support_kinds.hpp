// What each kind of support element takes.
#pragma once
#include "geometry/insole.hpp"
#include <string>
#include <vector>

namespace raybend {

/// One length, angle or ray number of a support element.
struct SupportField {
  std::string name;                         ///< as in the catalogue: designs[].support[<kind>].<name>
  double SupportElement::*member = nullptr; ///< nullptr for the ray
};

struct SupportKindInfo {
  SupportKind kind;
  std::string name;
  std::string meaning;
  std::vector<SupportField> fields;
  bool takes_material = false;
  std::string default_material; ///< "" with takes_material: the material must be given
};

const std::vector<SupportKindInfo> &support_kinds();
std::vector<std::string> support_kind_names();
const SupportKindInfo &support_kind(SupportKind kind);
const SupportKindInfo *find_support_kind(const std::string &name);

/// Names of the keys that say what something is made of, in layers and support elements alike.
const std::vector<std::string> &material_keys();

std::string role_name(LayerRole role);
std::string role_meaning(LayerRole role);
std::vector<std::string> role_names();

} // namespace raybend
