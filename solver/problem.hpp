// A solid-mechanics problem as plain data and functions: bodies, materials, supports, loads, contact.
// The forefoot and the textbook bodies are both described this way.
#pragma once
#include "geometry/vec3.hpp"
#include "meshing/coarse_mesh.hpp"
#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

namespace raybend {

class Material;

/// Prescribed displacement on a boundary: components with mask true.
struct FixedFace {
  unsigned id;
  std::array<bool, 3> mask;
  std::function<Vec3(const Vec3 &)> value; ///< of the reference position; empty: zero
};

/// Prescribed displacement at the nodes whose reference position satisfies `where`: pins and line supports.
struct FixedNodes {
  std::function<bool(const Vec3 &)> where;
  std::array<bool, 3> mask;
  std::function<Vec3(const Vec3 &)> value; ///< of the reference position; empty: zero
};

/// Distributed springs: traction = -K (u - motion of what holds them), K = normal a(x)a + tangential (I -
/// a(x)a). MPa/mm.
struct SpringFace {
  unsigned id;
  Vec3 axis;
  double normal, tangential;
  bool on_carrier;       ///< true: held by the carrier (the rigid midfoot); false: held in space
  bool on_slide = false; ///< held by what slides with the ground (Problem::slide)
};

/// Unilateral rigid ground: pressure = stiffness <-(gap(X) + u.direction)>_+ along `direction`, per area
/// normal to `area_axis` (plan area); and where `grip` says so a surface that sticks: traction
/// = -grip(X) t per plan area, t the part of u - sum_m w_m v_m normal to `direction`, pressed or not. v_m are
/// the problem's `slide`.
struct GroundFace {
  unsigned id;
  double stiffness;                              ///< MPa/mm
  Vec3 direction;                                ///< unit, from ground to body
  Vec3 area_axis;                                ///< unit; pressure counts per area projected along it
  std::function<double(const Vec3 &)> gap;       ///< of the reference position, along `direction`, mm
  std::function<double(const Vec3 &)> grip = {}; ///< MPa/mm, of the reference position; empty: slips freely
};

/// Unilateral contact between two boundaries whose faces match one to one in the logical frame. With `grip` paired
/// points also stick to each other as springs do: traction = -grip t per plan area on the upper body, t the part of
/// u_upper - u_lower normal to `direction`, pressed or not.
struct ContactPair {
  unsigned upper_id, lower_id;
  int logical_direction; ///< axis along which the two boundaries are apart in the logical frame
  double stiffness;      ///< MPa/mm
  Vec3 direction;        ///< unit, from the lower to the upper body
  Vec3 area_axis;
  double grip = 0; ///< MPa/mm; 0: slips freely
};

/// Dead traction on a boundary, MPa, as a function of reference position.
struct TractionFace {
  unsigned id;
  std::function<Vec3(const Vec3 &)> traction;
};

/// A weighted mean over a region of the body: weight(logical point, cell tag) >= 0, evaluated at the Gauss
/// points of the cells whose middle has a positive weight. On every level at least one cell must have.
using Region = std::function<double(const Vec3 &, unsigned)>;

/// A toe, hinged to the bone that a tie holds and lying on a bed in space; the tie runs on over the joint and is wound up
/// as the toe is bent up. All counts from a state of reference, in which the toe pushes on the bone with `load`, a force
/// that the problem applies by itself. The toe's rise against the bone over that in the reference be x, the bone's own
/// motion along `up` q, the tension without its constant part T(e + lever x):
///
///   N  = load + lever (T - tension) + joint x     moments about the joint
///   N  = bed <s - x>_+ ,  s = raised + head - q   what the bed, higher by s than the toe's tip, pushes with
///
/// The bone is pushed by N along `up`. N - load, and what x winds, is the tie's.
struct Toe {
  Vec3 up;                  ///< unit
  double lever;             ///< of the tie over that of the toe, dimensionless
  double joint, bed;        ///< N/mm at the toe's tip, > 0: stiffness of the joint alone; of what it lies on
  double load;              ///< N
  double raised;            ///< mm: the unloaded bed over the reference's bed as it was loaded
  std::vector<double> head; ///< mm, the reference's q, level by level, coarsest first
  std::vector<double> tension; ///< N, the reference's T likewise
};

/// A line force between a region's mean displacement and an anchor on the carrier: tension
/// T = <force + stiffness e>_+ , elongation e = direction . d, d = mean u - carrier motion at anchor.
/// `direction` is the unit vector from anchor to region, kept fixed unless the tie swings.
struct Tie {
  Region region;
  Vec3 direction, anchor;
  double force, stiffness;
  double constant = 0; ///< extra tension that does not depend on e (flexor tendons)
  Region other = {};   ///< if set, the tie runs between two regions: d = mean u - mean u of other
  /// mm, at rest. If positive the tie swings as a string does: it pulls along the line from end to end as they
  /// stand, e = |length direction + d| - length. 0: far away, the direction stays.
  double length = 0;
  /// With `other`: each end also counts from the carrier's motion at its own anchor (`anchor`, `other_anchor`):
  /// d = (mean u - motion at anchor) - (mean u of other - motion at other_anchor).
  bool both_on_carrier = false;
  Vec3 other_anchor = {};
  /// A stop in both directions: e comes to rest at +-stop (mm; 0: none). Beside the rest it pulls with
  /// stop_force (x / (1 - |x|) - x), x = e / stop; from |x| = 0.9 on along the tangent.
  double stop = 0, stop_force = 0;
  std::optional<Toe> toe = {}; ///< beyond the region
};

/// Entry of a level in a list that begins with the coarsest; nil where the list is shorter.
inline double of_level(const std::vector<double> &list, const unsigned level) {
  return level < list.size() ? list[level] : 0.0;
}

/// A dead force spread over a region.
struct RegionForce {
  Region region;
  Vec3 force;
};

/// A rigid body with a few unknown motions that carries springs and ties. `modes` are its displacement
/// fields. The force works against mode 0: potential + force * w_0.
struct Carrier {
  std::vector<std::function<Vec3(const Vec3 &)>> modes;
  double force = 0;
  /// What else acts on a mode's motion w: potential + push w + stiffness / 2 (w - rest)^2. Push (N) and rest (mm) may
  /// differ from level to level, coarsest first; where the list is shorter they are nil.
  struct Holding {
    double stiffness = 0; ///< N/mm
    std::vector<double> push, rest;
  };
  std::vector<Holding> holding; ///< one a mode, or shorter: the others are free
};

struct Problem {
  CoarseMesh mesh;
  std::function<Vec3(const Vec3 &logical)> position; ///< logical -> stress-free place, mm
  std::vector<std::shared_ptr<const Material>> materials;
  std::function<unsigned(const Vec3 &logical, unsigned tag)> material_at; ///< index into materials
  std::function<Vec3(const Vec3 &)> body_force;                           ///< N/mm3, may be empty
  std::function<double(const Vec3 &)> thermal_strain; ///< free, isotropic; small strain only; may be empty
  std::vector<FixedFace> fixed;
  std::vector<FixedNodes> fixed_nodes;
  std::vector<SpringFace> springs;
  std::vector<GroundFace> ground;
  std::vector<ContactPair> contact; ///< at most one
  std::vector<TractionFace> tractions;
  std::vector<Tie> ties;
  std::vector<RegionForce> region_forces;
  Carrier carrier;
  /// Rigid motions that cost nothing of what grip and `on_slide` springs hang on: these keep the body's
  /// shape, but their resultant along each motion is nil. Empty: they hang in space.
  std::vector<std::function<Vec3(const Vec3 &)>> slide;
};

} // namespace raybend
