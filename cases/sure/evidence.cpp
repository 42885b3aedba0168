// The published numbers that weigh the drawn feet.
#include "cases/sure/evidence.hpp"
#include "geometry/constants.hpp"
#include "postprocess/compare/ranking.hpp"
#include <cmath>

namespace raybend {

const std::vector<PublishedNumber> &barefoot_numbers() {
  // MT2 : MT5 = 2.1 (Donahue & Sharkey 1999) is not among them: the model misses it for every foot (its row of the validation
  // table is missed), so it would choose among feet by a fault of the model.
  const std::string heads =
      "104 healthy adults, mean peak maps, computed from public measurements; deviation 24 to 38 % of "
      "the mean, the upper end taken";
  static const std::vector<PublishedNumber> numbers = {
      {"dorsal strain of MT2 at mid-shaft, ue", "Arndt 2002, J Biomech 35:621 (read)", -1534, 636},
      {"pull of the fascia, body weights", "Erdemir 2004, J Bone Joint Surg Am 86:546 (read)", 0.96, 0.36},
      {"compression of the skin under head 2, %", "Cavanagh 1999 (read); deviation 8 assumed", 45.7, 8},
      {"part of head 1 in the heads' load, %", heads, 25, 9.5},
      {"part of head 2 in the heads' load, %", heads, 30, 11.4},
      {"part of head 3 in the heads' load, %", heads, 21.5, 8.2},
      {"part of head 4 in the heads' load, %", heads, 14, 5.3}}; // head 5 has the rest
  return numbers;
}

std::vector<double> barefoot_values(const DesignResult &result, const Forefoot &foot) {
  if (!result.converged)
    return std::vector<double>(barefoot_numbers().size(), std::nan(""));
  std::vector<double> values;
  const StationResult *middle = nullptr;
  for (const StationResult &s : result.ray[1].shaft)
    if (!middle || std::abs(s.fraction - 0.5) < std::abs(middle->fraction - 0.5))
      middle = &s;
  values.push_back(middle ? middle->strain_dorsal : std::nan(""));
  values.push_back(result.fascia_total / (foot.body_mass_kg * standard_gravity));
  values.push_back(100 * result.ray[1].tissue_compression);
  const double heads = borne_force(result).heads;
  for (std::size_t r = 0; r < 4; ++r)
    values.push_back(100 * result.ray[r].head_force.value / heads);
  return values;
}

} // namespace raybend
