// A beam's cross-section as beam theory sees it, and as a shape that carries logical points to real ones.
#pragma once
#include "geometry/beam.hpp"

namespace raybend {

/// Stiffness of a cross-section about its elastic centroid. N, N mm2; second moments are weighted by E:
/// My = EIy ky - EIyz kz, Mz = -EIyz ky + EIz kz, with k the change of the section's rotation along the axis.
struct SectionStiffness {
  double ea = 0, eiy = 0, eiz = 0, eiyz = 0, gj = 0, gay = 0, gaz = 0;
  double area = 0;     ///< mm2
  double centroid = 0; ///< mm: elastic centroid above the lowest fibre (layered; half the depth otherwise)
  double shear_y = 0, shear_z = 0; ///< shear factors kappa (gay = kappa G A)
};

/// Closed forms, all from memory: A, I elementary; kappa of rectangle, circle, ellipse and circular tube
/// after Cowper 1966 (J Appl Mech 33:335); elliptic tube and layered section by the energy of the shear flow
/// V Q/I; z_section: web (z) and flanges (y) alone carry shear. J: Saint-Venant's series (rectangle), exact
/// (circle, ellipse, circular tube), Bredt with a circular tube's part for thickness (elliptic tube), sum of b t^3/3 (z_section), rectangle with the
/// layers' mean G (layered).
SectionStiffness section_stiffness(const Beam &beam, double s);

/// Strain of the axis and curvature (change of the section's rotation about y, 1/mm) that the temperature gives to
/// a free beam whose sections stay plane.
struct FreeStrain {
  double axial = 0, curvature = 0;
};
FreeStrain free_strain(const Beam &beam, double s);

/// What the temperature lengthens a free fibre by at height z above the elastic centroid; -.
double thermal_strain(const Beam &beam, double s, double z);

/// Axial stress at height z that the temperature leaves in a free beam, by plane sections, MPa: 0 but in layers.
double self_stress(const Beam &beam, double s, double z);

/// mm2
double section_area(const Beam &beam, double s);

/// Young's modulus at height z above the elastic centroid, MPa.
double modulus_at(const Beam &beam, double s, double z);

/// Axial stress by Navier at (y, z) from the elastic centroid under N (N) and My, Mz (N mm); MPa.
double navier_stress(const Beam &beam, double s, double y, double z, double n, double my, double mz);

/// Real place in the section, from its elastic centroid, of the logical point (eta, zeta).
///   rectangle, layered: -1..1; layered: the interface at zeta = 0
///   circle, ellipse:    max-norm radius 0..1, core up to disc_core
///   tubes:              max-norm radius tube_hole..1
///   z_section:          eta, zeta are millimetres from the centroid
std::array<double, 2> section_point(const Beam &beam, double s, double eta, double zeta);
constexpr double disc_core = 0.5, tube_hole = 0.5;

/// Logical point of a place on the outline: parts -1..1 of half width and half depth, for reading stresses.
std::array<double, 2> outline_point(const Beam &beam, double y_part, double z_part);

} // namespace raybend
