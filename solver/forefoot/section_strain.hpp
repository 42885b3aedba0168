// Strain round a section of a shaft from what its four sides show. Plain values, no deal.II.
#pragma once

namespace raybend {

/// Strain along the ray on the dorsal, plantar, medial and lateral side of one section, ue.
struct SideStrains {
  double dorsal = 0, plantar = 0, medial = 0, lateral = 0;
};

/// Plane sections (beam theory): on an ellipse, at the parameter phi counted from the dorsal side over the
/// medial one, the strain is  axial + dorsal_part cos(phi) + medial_part sin(phi).
struct SectionStrain {
  double axial = 0;       ///< ue: mean of the four sides
  double sagittal = 0;    ///< ue: (plantar - dorsal) / 2, positive puts the plantar side in tension
  double transverse = 0;  ///< ue: (lateral - medial) / 2, positive puts the lateral side in tension
  double bending() const; ///< ue: both together, root of the sum of squares
};
SectionStrain section_strain(const SideStrains &sides);

/// Strain of largest magnitude round the section, signed, and where it stands.
struct ExtremeStrain {
  double value = 0;   ///< ue
  double towards = 0; ///< degrees, 0 dorsal, 90 medial, 180 plantar, 270 lateral; at least 0, less than 360
};

/// The lowest and the highest strain round the section, axial -+ bending, but no side's own is left out: sections
/// do not stay quite plane.
struct StrainRange {
  double lowest = 0, highest = 0; ///< ue
};
StrainRange strain_range(const SideStrains &sides);

/// axial -+ bending, but never less than a side itself shows: sections do not stay quite plane.
ExtremeStrain extreme_strain(const SideStrains &sides);

} // namespace raybend
