// Where the points of one insole design are, and what they are made of.
#pragma once
#include "geometry/foot_shape.hpp"
#include "geometry/insole.hpp"
#include <array>
#include <functional>
#include <unordered_map>
#include <utility>

namespace raybend {

/// Stress-free shape of a design under one foot, and its material as a function of place. Places along the foot
/// count from the line of the heads (FootShape::behind_heads).
/// Rows of the logical frame, where no layer has ended: cover [-2,-1], base [-3,-2], plate [-4,-3], sole [-5,-4].
///
/// - A foam base fills the space between the (moulded) cover and the flat layer below it; support
///   elements add to the base's thickness just under the cover.
/// - A stiff base (solid, E > 100 MPa) is a shell of constant thickness that follows the top surface; the
///   space under it is a filler foam at least 1 mm thick (assumed) in the plate row. A wedge tilts the shell
///   and the filler becomes a wedge; a relief is ground out of the shell.
/// - Without a plate the plate row is the lowest part of the base.
/// - A base or cover may end inside the plan: its thickness runs out over its bevel, the top surface comes down
///   with it, and what goes on lies on what is below. Rows of cells keep a least height there, so that their
///   faces leave the layers; each Gauss point takes the material of its height. Filler foam under a shell goes
///   on, and the sole takes the place of a plate where neither plate nor half of the base is.
/// - The order in which a design lists its support elements changes nothing. What pads, bars and fills add lies
///   on the base in their own materials (`lies_above`). A region of another hardness changes the base only
///   (`counts_over`). Plates never overlap (the reader refuses them).
class InsoleShape {
public:
  InsoleShape(const Design &design, const FootShape &foot);

  /// Point of the insole at logical (s, b, d), d in [-5, -1].
  Vec3 point(const Vec3 &logical) const;

  /// Height of the top surface at (s, b).
  double top(double s, double b) const { return column(s, b).top; }

  /// Part of a layer's thickness that is there at (s, b), 0 to 1: between them on the bevels of a base or cover.
  double part(LayerRole role, double s, double b) const;

  /// Thickness of the base at (s, b) without support elements, mm: a foam's with what the fit adds.
  double base_thickness(double s, double b) const { return column(s, b).base; }

  /// Rise of the top surface by support elements at (s, b); negative over a relief.
  double rise(double s, double b) const { return column(s, b).rise; }

  /// What support element `i` of the design adds to the top surface at (s, b) by itself, mm; of a relief, and
  /// on the side that a wedge lets down, negative.
  double rise_by(std::size_t i, double s, double b) const { return column(s, b).rise_of[i]; }

  /// True where support element `i` lies in plan, edge to edge; a wedge lies everywhere.
  bool covers(std::size_t i, double s, double b) const;

  /// True where a pad, bar, fill, relief or region of another hardness lies in plan (`counts_in_plan`), and
  /// whether the design has one.
  bool has_counted_support() const;
  bool under_support(double s, double b) const;

  /// All materials of the design; `material_at` returns an index into it.
  const std::vector<InsoleMaterial> &materials() const { return materials_; }
  unsigned material_at(const Vec3 &logical) const;

  const Design &design() const { return design_; }
  const Forefoot &foot() const { return foot_.foot(); }

  /// The insole under a toe, at its centre of pressure (Ray::toe_lever beyond the head): what is there at the distal edge
  /// of the mesh and has not ended goes on flat.
  struct ToeBed {
    double height; ///< of the unloaded top over the skin's plane under the heads, mm
    double give;   ///< mm per MPa: the layers' thicknesses over their moduli, small strain
  };
  ToeBed toe_bed(int ray) const;

  /// N m per degree at the ball, of the shoe's sole alone, by `bending_test` over the foot's width at the heads.
  double ball_stiffness() const;
  double ball_width() const; ///< mm, skin to skin across the heads

  /// Height of the sole's underside (flat).
  double underside() const { return -total_; }

  /// Largest rise of the top surface above the unloaded skin, mm: how much a foot at rest would overlap;
  /// negative if the insole ends before the foot touches it.
  double largest_overlap() const;

private:
  /// Everything above one place of the plan. Meshes ask for places above one another: each is worked out once.
  struct Column {
    Vec3 plan;                          ///< of the unloaded skin
    double behind;                      ///< the line of the heads
    double part_of_base, part_of_cover; ///< 0 to 1
    double base;                        ///< thickness without support elements
    double rise;                        ///< by support elements
    double top, cover_bottom, sole_top; ///< heights; the base reaches down to ..
    double base_bottom;                 ///< .. a shell's underside, else the plate's top or the sole's
    std::array<double, 5> rows;         ///< faces of the rows of cells, from the top down
    std::vector<double> rise_of;        ///< each support element by itself
  };
  struct PlaceHash {
    std::size_t operator()(const std::pair<double, double> &place) const {
      const std::hash<double> hash;
      return hash(place.first) * 31 + hash(place.second);
    }
  };
  const Column &column(double s, double b) const;
  Column new_column(double s, double b) const;
  std::array<double, 5> rows(const Column &c) const;
  double element_rise(const SupportElement &e, double s, double b) const;
  double off_middle(const SupportElement &e, double s, double b) const;
  bool in_region(const SupportElement &e, double s, double b) const;
  unsigned add(const InsoleMaterial &m);
  InsoleMaterial reinforced(const Layer &sole, double shank_e) const;
  unsigned sole_at(const Column &c) const; ///< the sole's material, with or without the shank

  Design design_;
  FootShape foot_;
  Layer cover_, base_, plate_, sole_;
  double total_ = 0; ///< thickness of all layers under the heads
  bool shell_ = false, has_plate_ = false;
  std::vector<InsoleMaterial> materials_;
  unsigned cover_material_ = 0, base_material_ = 0, plate_material_ = 0, sole_material_ = 0,
           shank_material_ = 0, filler_material_ = 0;
  std::vector<unsigned> element_material_;
  std::vector<std::size_t> raising_; ///< pads, bars, fills: places in the design, from the cover down
  std::vector<std::size_t> regions_; ///< of another hardness: places in the design, the one that counts first
  Vec3 centre_;
  mutable std::unordered_map<std::pair<double, double>, Column, PlaceHash> columns_; ///< one thread only
};

} // namespace raybend
