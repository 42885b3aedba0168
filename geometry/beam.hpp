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

/// The cross-section; its sizes vary linearly along the axis from `start` to `end`.
struct SectionForm {
  SectionShape shape = SectionShape::rectangle;
  SectionSize start, end;
  double thickness = 0;    ///< mm: web and flanges of a z_section
  double bottom_depth = 0; ///< mm: lower layer of a layered section
};

struct Elastic {
  double e = 0, nu = 0; ///< MPa, -
};

enum class HoldKind { clamped, soft_clamped, pinned, roller, unilateral, spring };

struct BeamSupport {
  HoldKind kind = HoldKind::roller;
  double at = 0;        ///< mm along the axis
  int axis = 2;         ///< roller, unilateral, spring: 0 x, 1 y, 2 z
  double sign = 1;      ///< unilateral: the support can push the beam this way along the axis only
  double stiffness = 0; ///< N/mm: spring
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
};

struct Beam {
  std::string title, note;
  double length = 0; ///< mm along the axis
  double radius = 0; ///< mm: of the axis, positive bends up (+z); 0: straight
  SectionForm section;
  Elastic material, top_material; ///< the second one only of a layered section
  bool finite_strain = false;
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

/// Length of the slice of the body that stands for a point load or support, mm: 1 % of the length, but at
/// least a twentieth and at most a quarter of the largest depth.
double slice_length(const Beam &beam);

/// Sizes at arc length s, constant beyond the ends.
SectionSize section_size(const Beam &beam, double s);

} // namespace raybend
