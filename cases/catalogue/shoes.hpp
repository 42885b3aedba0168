// Named shoes: what each adds to the sole under an insole.
#pragma once
#include "geometry/insole.hpp"
#include <string>
#include <vector>

namespace raybend {

struct NamedShoe {
  Shoe shoe;
  double sole_thickness = 0;  ///< mm, under the ball, where a design says nothing of its sole
  std::string sole_material;  ///< named insole material
  double least = 0, most = 0; ///< N m/deg: published range of the bending stiffness at the ball
  std::string meaning, source;
};

const std::vector<NamedShoe> &named_shoes();
std::vector<std::string> shoe_names();
const NamedShoe &named_shoe(const std::string &name); ///< throws std::logic_error if there is none

} // namespace raybend
