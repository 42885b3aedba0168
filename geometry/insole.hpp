// One insole design as plain values: layers from the ground up and any number of support elements.
// Lengths mm, angles degree, moduli MPa.
#pragma once
#include <string>
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
};

enum class LayerRole { sole, plate, base, cover };

struct Layer {
  LayerRole role = LayerRole::base;
  double thickness = 0;
  InsoleMaterial material;
  /// Plan extent along the foot, distances proximal (positive) of the head line; the layer is there for
  /// from_behind_heads >= distance >= to_behind_heads. Outside it the base's material takes its place.
  double from_behind_heads = 1000;
  double to_behind_heads = -1000;
};

enum class SupportKind { pad, bar, arch_fill, relief, wedge, plate, hardness };

/// A support element changes the top surface, a thickness or a material locally.
struct SupportElement {
  SupportKind kind = SupportKind::pad;
  int ray = 2;             ///< pad, relief, hardness, and a bar with a width: centred under this ray
  double height = 0;       ///< pad, bar, arch_fill: rise of the top surface; relief: depth; plate: thickness
  double length = 0;       ///< pad, bar (flat crest between bevels), plate, hardness: along the foot
  double width = 0;        ///< pad, hardness: across the foot; 0 for a bar means all rays
  double behind_heads = 0; ///< pad, bar, plate, hardness: distal edge, proximal of the head line
  double radius = 0;       ///< relief
  double proximal_bevel = 0; ///< bar: length of the proximal slope
  double distal_bevel = 0;   ///< bar: length of the distal slope
  double angle_deg = 0;      ///< wedge: positive raises the medial side
  double shift_medial = 0;   ///< pad: centre moved medially from the ray's axis
  InsoleMaterial material;   ///< of the added height; hardness, plate: of the region; unused: wedge, relief
};

struct Design {
  std::string name;  ///< key, unique in a case: lower-case letters, digits, '-'
  std::string title; ///< words for people
  double fit = 0;    ///< 0 flat .. 1 moulded (total contact with the unloaded plantar surface)
  std::vector<Layer>
      layers; ///< from the ground up; roles in the order of LayerRole; one sole, one base, one cover
  std::vector<SupportElement> support;

  /// The same design with every support element taken away.
  Design without_support() const {
    Design d = *this;
    d.support.clear();
    return d;
  }
};

} // namespace raybend
