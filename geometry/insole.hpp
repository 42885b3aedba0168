// One insole design as plain values: layers from the ground up and any number of support elements.
// Lengths mm, angles degree, moduli MPa.
#pragma once
#include "geometry/shoe.hpp"
#include "geometry/smooth_step.hpp"
#include <algorithm>
#include <string>
#include <tuple>
#include <vector>

namespace raybend {

enum class MaterialLaw {
  solid, ///< compressible neo-Hookean: plates, shells, rubber
  foam   ///< skeleton (neo-Hookean) plus the gas in closed cells
};

/// An insole or sole material. `relative_density` R = foam density / solid density and `gas_pressure` p0
/// (MPa) are used by MaterialLaw::foam only; p0 = 0 stands for open cells.
struct InsoleMaterial {
  std::string name;
  MaterialLaw law = MaterialLaw::foam;
  double e = 0;
  double nu = 0;
  double relative_density = 0.2;
  double gas_pressure = 0.1;
  /// MPa: stiffness added along the foot alone, as boards and cords in a sole do; it resists bending, not pressing.
  double along_e = 0;
};

/// The numbers of a material, softer ones first; materials of the same numbers behave alike, whatever their names.
inline auto softness_rank(const InsoleMaterial &m) {
  return std::make_tuple(m.e, m.nu, m.law, m.relative_density, m.gas_pressure, m.along_e);
}

enum class LayerRole { sole, plate, base, cover };

constexpr double whole_foot = 1000; ///< mm, an end beyond any foot: the layer has none

struct Layer {
  LayerRole role = LayerRole::base;
  double thickness = 0;
  InsoleMaterial material;
  /// Plan extent along the foot, distances proximal (positive) of the line of the heads
  /// (FootShape::behind_heads); the layer is there for
  /// from_behind_heads >= distance >= to_behind_heads. Outside a plate the base's material takes its place, the
  /// sole's where less than half of the base is there; where a base or cover ends, the top surface comes down. A
  /// sole runs over the whole plan.
  double from_behind_heads = whole_foot;
  double to_behind_heads = -whole_foot;
  double bevel = 15; ///< base, cover: length over which it thins out towards its ends, inside its extent

  bool bevelled() const { return role == LayerRole::base || role == LayerRole::cover; }
  bool begins() const { return from_behind_heads < whole_foot; } ///< behind the heads or in front of them
  bool ends() const { return to_behind_heads > -whole_foot; }
};

/// Part of a layer's thickness that is there at a distance behind the heads, 0 to 1: between them on the bevels
/// of a base or cover.
inline double part_there(const Layer &layer, const double behind_heads) {
  const double from_front = behind_heads - layer.to_behind_heads,
               from_back = layer.from_behind_heads - behind_heads;
  if (layer.bevelled())
    return smooth_step(from_front / layer.bevel) * smooth_step(from_back / layer.bevel);
  return from_front >= 0 && from_back >= 0 ? 1 : 0;
}

enum class SupportKind {
  pad,
  bar,
  arch_fill,
  relief,
  u_cut_out,           ///< a raised plateau round one head, open distally
  first_ray_cut_out,   ///< hollow under the first ray
  first_ray_extension, ///< raised and of another material under the first ray, to the toe
  wedge,
  plate,
  hardness
};

/// Of a pad, seen from the side: h (1 - r^2) about the crest, r = 1 at the edge. A teardrop's crest lies at a quarter
/// of the length from the distal edge (published: 3/4 to 5/6 from the rear, read), so that it rises gently and falls
/// steeply; a dome's in the middle.
enum class PadProfile { teardrop, dome };
constexpr double crest_part(const PadProfile profile) {
  return profile == PadProfile::teardrop ? 0.25 : 0.5;
}

/// Whether the force over the element's plan says where the load goes: a wedge lies under the whole forefoot (as
/// far as the base does), a plate under its whole width.
constexpr bool counts_in_plan(const SupportKind kind) {
  return kind != SupportKind::wedge && kind != SupportKind::plate;
}

/// A support element changes the top surface, a thickness or a material locally.
struct SupportElement {
  SupportKind kind = SupportKind::pad;
  PadProfile profile = PadProfile::teardrop; ///< pad
  int ray = 2;       ///< pad, relief, u_cut_out, hardness, and a bar with a width: centred under this ray
  double height = 0; ///< rise of the top surface (first_ray_cut_out, relief: depth; plate: thickness)
  double length = 0; ///< pad, bar (flat crest between bevels), plate, hardness: along the foot
  double width = 0;  ///< pad, hardness: across the foot; 0 for a bar means all rays
  double behind_heads = 0;   ///< distal edge, behind the ray's head (pad) or the line of the heads (others)
  double radius = 0;         ///< relief, u_cut_out
  double proximal_bevel = 0; ///< bar: length of the proximal slope
  double distal_bevel = 0;   ///< bar: length of the distal slope
  double angle_deg = 0;      ///< wedge: positive raises the medial side
  double shift_medial = 0;   ///< pad: centre moved medially from the ray's axis
  InsoleMaterial material;   ///< of the added height; hardness, plate: of the region; unused: wedge, relief

  /// mm, of a pad: its highest line, behind its ray's head.
  double crest_behind_heads() const { return behind_heads + crest_part(profile) * length; }
};

/// True if both do the same: kind, place, size and material.
inline bool same_numbers(const SupportElement &a, const SupportElement &b) {
  const auto place = [](const SupportElement &e) {
    return std::tie(e.kind, e.profile, e.ray, e.height, e.length, e.width, e.behind_heads, e.radius,
                    e.proximal_bevel, e.distal_bevel, e.angle_deg, e.shift_medial);
  };
  return place(a) == place(b) && softness_rank(a.material) == softness_rank(b.material);
}

/// Of two regions of another hardness that overlap, true if `a` counts there: the smaller one, of two equally
/// large ones the softer one (a rule, so that their order in the file says nothing).
inline bool counts_over(const SupportElement &a, const SupportElement &b) {
  const auto rank = [](const SupportElement &e) {
    return std::make_tuple(e.length * e.width, softness_rank(e.material));
  };
  return rank(a) < rank(b);
}

/// Of two pads, bars or fills that overlap, true if `a` lies above `b`: from the base up a fill, a bar, a pad;
/// of one kind the stiffer one lower (assumed).
inline bool lies_above(const SupportElement &a, const SupportElement &b) {
  const auto rank = [](const SupportElement &e) {
    const int kind = e.kind == SupportKind::pad         ? 0
                     : e.kind == SupportKind::bar       ? 1
                     : e.kind == SupportKind::arch_fill ? 3
                                                        : 2;
    return std::make_tuple(kind, softness_rank(e.material));
  };
  return rank(a) < rank(b);
}

/// True of the kinds that add height to the base.
constexpr bool raises(const SupportKind kind) {
  return kind == SupportKind::pad || kind == SupportKind::bar || kind == SupportKind::arch_fill ||
         kind == SupportKind::u_cut_out || kind == SupportKind::first_ray_extension;
}

/// What fills the space between a moulded shell and the sole; E and nu assumed.
inline InsoleMaterial filler_foam() {
  InsoleMaterial filler;
  filler.name = "filler foam";
  filler.e = 0.6;
  filler.nu = 0.1;
  return filler;
}

struct Design {
  std::string name;  ///< key, unique in a case: lower-case letters, digits, '-'
  std::string title; ///< words for people
  Shoe shoe;         ///< what it is worn in
  double fit = 0;    ///< 0 flat .. 1 moulded (total contact with the unloaded plantar surface)
  std::vector<Layer>
      layers; ///< from the ground up; roles in the order of LayerRole; one sole, one base, one cover
  std::vector<SupportElement> support;

  /// A stiff base (above 100 MPa, assumed) that follows the foot: a shell of even thickness on filler foam.
  bool is_moulded_shell() const {
    return fit > 0 && std::any_of(layers.begin(), layers.end(), [](const Layer &l) {
             return l.role == LayerRole::base && l.material.law == MaterialLaw::solid && l.material.e > 100;
           });
  }

  /// The same design with every support element taken away.
  Design without_support() const {
    Design d = *this;
    d.support.clear();
    return d;
  }
};

} // namespace raybend
