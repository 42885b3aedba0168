// Strain round a section of a shaft from what its four sides show.
#include "solver/forefoot/section_strain.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

double SectionStrain::bending() const {
  return std::hypot(sagittal, transverse);
}

SectionStrain section_strain(const SideStrains &s) {
  return {(s.dorsal + s.plantar + s.medial + s.lateral) / 4, (s.plantar - s.dorsal) / 2,
          (s.lateral - s.medial) / 2};
}

StrainRange strain_range(const SideStrains &s) {
  const SectionStrain section = section_strain(s);
  return {std::min({section.axial - section.bending(), s.dorsal, s.plantar, s.medial, s.lateral}),
          std::max({section.axial + section.bending(), s.dorsal, s.plantar, s.medial, s.lateral})};
}

ExtremeStrain extreme_strain(const SideStrains &s) {
  const SectionStrain section = section_strain(s);
  const double sign = section.axial < 0 ? -1 : 1; // bending adds to the axial part on one side
  constexpr double degree = pi / 180;
  double towards = std::atan2(-sign * section.transverse, -sign * section.sagittal) / degree;
  if (towards < 0)
    towards += 360;
  ExtremeStrain extreme{section.axial + sign * section.bending(), towards < 360 ? towards : 0};
  const double side[4] = {s.dorsal, s.medial, s.plantar, s.lateral};
  for (int i = 0; i < 4; ++i)
    if (std::abs(side[i]) > std::abs(extreme.value))
      extreme = {side[i], 90.0 * i};
  return extreme;
}

} // namespace raybend
