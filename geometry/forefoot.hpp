// What is known of one forefoot: the five rays and the tissue round them, as plain values.
// Lengths mm, angles degree, masses kg. Ray r (1..5) is rays[r - 1]; 1 is the medial (big toe) side.
#pragma once
#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace raybend {

enum class Side { left, right };
enum class Sex { female, male };

/// One metatarsal and the soft tissue that belongs to it. Sources of the defaults: cases/catalogue/catalogue_patient.cpp.
struct Ray {
  double length = 0; ///< base to centre of the head, along the axis
  double head_behind_mt2 =
      0; ///< how far the head lies proximal of MT2's head (metatarsal parabola); MT1 may be < 0
  double head_medial_of_mt2 = 0; ///< transverse place of the head's centre; positive is medial
  double base_medial_of_mt2 = 0; ///< same for the base, measured from MT2's base
  double declination_deg = 0;    ///< angle of the axis to the ground, standing
  double camber = 0;             ///< dorsal convexity of the axis at mid-length
  double shaft_width = 0;        ///< mediolateral, at mid-shaft
  double shaft_height = 0;       ///< dorsoplantar, at mid-shaft, normal to the axis
  double cortex = 0;             ///< cortical thickness at mid-shaft
  double head_width = 0;         ///< mediolateral
  double head_height = 0;        ///< dorsoplantar
  double base_width = 0;         ///< mediolateral, proximal face
  double base_height = 0;        ///< dorsoplantar, proximal face
  double tissue_under_head = 0;  ///< plantar soft tissue, unloaded
  double tissue_over_shaft = 0;  ///< dorsal soft tissue
  double arch_rise = 0;    ///< height of the unloaded plantar skin at the base above the skin under the head
  double mobility_deg = 0; ///< sagittal mobility of the tarsometatarsal joint, whole range
  double fascia_share = 0; ///< part of the plantar fascia's force in this ray's slip; the five sum to 1
  double toe_share = 0;    ///< part of the toes' load under this toe; the five sum to 1
  double flexor_share = 0; ///< part of the toe flexors' pull in this ray's tendons; the five sum to 1
  double toe_lever = 0;    ///< metatarsophalangeal joint to the toe's centre of pressure
  double flexor_lever =
      0; ///< moment arm of the flexor tendons at the metatarsophalangeal joint, and of the fascia
  double toe_joint = 0; ///< N mm per degree: stiffness against being bent up, as it is held in a step
};

enum class BoneLaw { isotropic, transverse }; ///< transverse: transversely isotropic along the ray

/// Mechanical properties of the foot. MPa, N, N/mm.
struct FootMaterials {
  BoneLaw bone_law = BoneLaw::isotropic;
  double cortical_e = 0, cortical_nu = 0;
  double cortical_e_transverse = 0, cortical_g = 0; ///< used by BoneLaw::transverse only
  double trabecular_e = 0, trabecular_nu = 0;
  double trabecular_e_transverse = 0, trabecular_g = 0; ///< used by BoneLaw::transverse only
  double tissue_mu = 0;                                 ///< initial shear modulus of the plantar tissue
  double tissue_stiffening = 0; ///< exponent of the isochoric exponential law, dimensionless
  double tissue_bulk = 0;       ///< initial bulk modulus
  double fascia_stiffness = 0;  ///< EA/L of one whole fascia; a slip has fascia_share of it
  double joint_moment = 0;      ///< N mm: moment at which a base turns through half of its mobility
};

/// Where along a painful ray it hurts.
enum class PainfulPlace { shaft, base, neck };

struct Forefoot {
  double body_mass_kg = 0;
  double foot_length = 0;
  Side side = Side::right;
  Sex sex = Sex::female;
  int painful_ray = 2;                              ///< 1..5: by which designs are ranked
  std::vector<int> also_painful;                    ///< further rays, each once
  PainfulPlace painful_place = PainfulPlace::shaft; ///< of all painful rays
  std::array<Ray, 5> rays;
  double medial_margin = 0;          ///< soft tissue medial of MT1's head
  double lateral_margin = 0;         ///< soft tissue lateral of MT5's head
  double hindfoot_anchor_behind = 0; ///< calcaneal origin of the fascia, proximal of MT2's head
  double hindfoot_anchor_height = 0; ///< its height above the plantar skin plane
  /// N m per degree by which ankle and subtalar joint hold the midfoot's turn in late stance, in roll and in pitch.
  double ankle_roll_stiffness = 0, ankle_pitch_stiffness = 0;
  FootMaterials materials;
};

inline bool is_painful(const Forefoot &foot, const int ray) {
  return ray == foot.painful_ray || std::count(foot.also_painful.begin(), foot.also_painful.end(), ray) > 0;
}

constexpr double shaft_from = 0.15, shaft_to = 0.85; ///< part of a ray's length that counts as shaft

/// Parts of a ray's length between which its peaks are sought, the base being 0 and the head's centre 1: 0.15 and 0.85, nearer the
/// joints the section is no beam's; of a painful ray base 0.15 to 0.4, neck 0.65 to 0.85 (chosen).
inline std::array<double, 2> counted_part(const Forefoot &foot, const int ray) {
  if (is_painful(foot, ray) && foot.painful_place == PainfulPlace::base)
    return {shaft_from, 0.4};
  if (is_painful(foot, ray) && foot.painful_place == PainfulPlace::neck)
    return {0.65, shaft_to};
  return {shaft_from, shaft_to};
}

/// Whether a place along the ray, `fraction` of its length, lies between them.
inline bool is_counted(const std::array<double, 2> &part, const double fraction) {
  return fraction >= part[0] - 1e-9 && fraction <= part[1] + 1e-9;
}

} // namespace raybend
