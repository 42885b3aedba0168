// A beam of the laboratory's own: prismatic, tapered or curved, with its supports and loads. Plain values.
// Frame: x along the undeformed axis from its start, z up, y = z x x across. A curved axis is an arc in the
// plane x-z that leaves the origin along x.
#pragma once
#include "geometry/vec3.hpp"
#include <string>
#include <vector>

namespace raybend {

enum class SectionShape { rectangle, circle, ellipse, tube, elliptic_tube, z_section, layered };

/// Outer and inner extent along y (width) and z (depth) at one end, mm.
struct SectionSize {
  double width = 0, depth = 0, inner_width = 0, inner_depth = 0;
};

/// From `at` (mm along the axis) on the section has another size.
struct SectionStep {
  double at = 0;
  SectionSize size;
};

/// The cross-section; its sizes vary linearly along the axis from `start` to `end`, or, with `steps` (in increasing
/// order; `end` is then not looked at), are `start` up to the first step and each step's from there on.
struct SectionForm {
  SectionShape shape = SectionShape::rectangle;
  SectionSize start, end;
  std::vector<SectionStep> steps;
  double thickness = 0;    ///< mm: web and flanges of a z_section
  double bottom_depth = 0; ///< mm: lower layer of a layered section
};

struct Elastic {
  double e = 0, nu = 0; ///< MPa, -
  double expansion = 0; ///< 1/K, of length
};

/// Rise above the temperature at which the beam is free of stress; linear through the depth, alike along the axis.
struct Temperature {
  double rise = 0;            ///< K at half the depth
  double top_less_bottom = 0; ///< K between the highest and the lowest fibre
};

enum class HoldKind { clamped, soft_clamped, pinned, roller, unilateral, spring };

struct BeamSupport {
  HoldKind kind = HoldKind::roller;
  double at = 0;        ///< mm along the axis
  int axis = 2;         ///< roller, unilateral, spring: 0 x, 1 y, 2 z
  double sign = 1;      ///< unilateral: the support can push the beam this way along the axis only
  double stiffness = 0; ///< N/mm: spring
  /// mm by which the support itself is moved: along z (clamps, pinned) or `axis`. Unilateral: -1 leaves a gap of 1
  /// mm (sign +1).
  double settlement = 0;
};

/// Winkler foundation along a stretch of the beam, acting along z, N/mm per mm of length.
struct BeamFoundation {
  double from = 0, to = 0, modulus = 0;
};

enum class LoadKindOfBeam { force, distributed, moment };

struct BeamLoad {
  LoadKindOfBeam kind = LoadKindOfBeam::force;
  double from = 0, to = 0; ///< mm along the axis; force and moment: from = to
  Vec3 vector{};           ///< N, N/mm or N mm, in the fixed frame
  /// distributed: share of `vector` at `from` and at `to`, linear between; not below 0, not both 0
  double from_share = 1, to_share = 1;
  double share(double s) const; ///< of a distributed load at arc length s within its stretch
  double total_share() const {
    return (to - from) * (from_share + to_share) / 2;
  } ///< mm: integral of the share
};

struct Beam {
  std::string title, note;
  double length = 0; ///< mm along the axis
  double radius = 0; ///< mm: of the axis, positive bends up (+z); 0: straight
  SectionForm section;
  Elastic material, top_material; ///< the second one only of a layered section
  Temperature temperature;
  bool finite_strain = false;
  int load_steps = 1; ///< finite strain: equal parts of the load that are kept as results of their own
  std::vector<BeamSupport> supports;
  std::vector<BeamFoundation> foundations;
  std::vector<BeamLoad> loads;
};

/// Directions of the axis at arc length s (also beyond the ends): place, tangent, y, z; all of the undeformed
/// beam.
struct AxisFrame {
  Vec3 place, along, across, up;
};
AxisFrame axis_frame(const Beam &beam, double s);

/// Arc length of the section that a place of the undeformed beam lies in.
double arc_length_of(const Beam &beam, const Vec3 &place);

/// Largest extent along z and along y of any section, mm.
double largest_depth(const Beam &beam);
double largest_width(const Beam &beam);

/// Length of the slice of the body that stands for a point load or support, mm: 1 % of the length, but at
/// least a twentieth and at most a quarter of the largest depth.
double slice_length(const Beam &beam);

/// Sizes at arc length s, constant beyond the ends. A step is a short cone, as long as a slice, about its place.
SectionSize section_size(const Beam &beam, double s);

} // namespace raybend
