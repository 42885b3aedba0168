// What one solved design says about the foot. Plain values on rank 0, no deal.II.
// Foot frame, right foot. Compression is negative. Forces N, moments N mm, stress MPa, pressure kPa, strain
// microstrain (ue).
#pragma once
#include "geometry/vec3.hpp"
#include "solver/loads.hpp"
#include <array>
#include <limits>
#include <string>
#include <vector>

namespace raybend {

/// One cut through a ray on a station surface of the mesh, which runs obliquely through the bone in plan (up to
/// some 30 degrees at MT5): its medial and lateral side lie a few mm apart along the ray. Resultants act on the
/// proximal side of the cut, from the distal part, about the section's centre in the axes of the bone there as it
/// has turned under load (forefoot/sections.hpp).
struct StationResult {
  double distance = 0;         ///< mm along the axis from the proximal face
  double fraction = 0;         ///< distance / ray length (1 = centre of the head)
  double axial_force = 0;      ///< N: tension positive
  double shear_sagittal = 0;   ///< V: dorsal positive
  double shear_transverse = 0; ///< V: medial positive
  double moment_sagittal =
      0; ///< M: positive puts the plantar side in tension and the dorsal side in compression
  double moment_transverse = 0; ///< positive puts the lateral side in tension
  double torque = 0;            ///< T about the axis
  // The same six from all that acts on the bone distal of the cut (bookkeeping check); not a number in the proximal
  // 18 % of the ray, where the joint's stop acts on the bone.
  double statics_axial_force = 0, statics_shear_sagittal = 0, statics_shear_transverse = 0;
  double statics_moment_sagittal = 0, statics_moment_transverse = 0, statics_torque = 0;
  double strain_dorsal = 0, strain_plantar = 0, strain_medial = 0, strain_lateral = 0; ///< ue along the axis
  double stress_dorsal = 0, stress_plantar = 0;                                        ///< MPa along the axis
  double strain_axial = 0;              ///< ue: mean of the four sides
  double strain_bending = 0;            ///< ue, sagittal: (plantar - dorsal) / 2
  double strain_bending_transverse = 0; ///< ue: (lateral - medial) / 2
  /// ue, signed: of largest magnitude round the section (forefoot/section_strain.hpp), and where: degrees
  /// from the dorsal side over the medial one, 0 to 360.
  double strain_extreme = 0, strain_extreme_towards = 0;
};

/// Part of a value that is its band at coarse resolution, which has no level below (assumed; from coarse to
/// standard, the peak pressure under a head was seen to change by a quarter of it).
constexpr double coarse_band = 0.25;

/// A headline number with its discretisation band (value +- band).
struct Banded {
  double value = 0;
  double band = 0;
  /// The same number on the next coarser level; NaN where there is none. Two designs solved on the same
  /// meshes share most of their discretisation error, so their difference has a band of its own: how much it
  /// changed from that level to this.
  double coarser = std::numeric_limits<double>::quiet_NaN();
  /// On the coarsest level: part by which the ratio of two designs' values was seen to change from it to the next one
  /// (coarse_pair_*); NaN on finer levels, where `coarser` tells it.
  double pair_part = std::numeric_limits<double>::quiet_NaN();
};

/// Largest changes of the ratio of two designs' values from the coarse to the standard mesh, rounded up, over every two designs and
/// every ray of the warehouse at 80 % of stance and of standing (55 ratios each; half of them change by a fourth of this or less):
/// strain 0.03, moment 0.05, head force 0.05, head pressure 0.09, shaft pressure 0.44 (0.18 but for one). 60 ratios of strain of other
/// designs all lie within, the largest 0.041 (tests/report/coarse_pairs.hpp).
constexpr double coarse_pair_strain = 0.06, coarse_pair_force = 0.06, coarse_pair_head_pressure = 0.1,
                 coarse_pair_shaft_pressure = 0.2;

/// Strain at the spots of a ray's shaft over a step, from unloaded to every instant.
struct SpotRanges {
  static constexpr int angles = 24; ///< round the section, from the dorsal side over the medial one
  std::vector<double> fraction;     ///< of the stations, where peaks are sought (counted_part)
  std::vector<double> range;        ///< ue, [station * angles + angle]: highest less lowest, zero among them
};

struct RayResult {
  std::vector<StationResult> shaft; ///< proximal to distal
  /// ue, magnitude: the largest strain along the ray on the shaft's surface, on whichever
  /// side, over the stations at 15 to 85 % of the length (on these meshes from 18 % on).
  Banded peak_strain;
  bool peak_strain_tensile = false;
  double peak_strain_at = 0;       ///< fraction of length
  double peak_strain_towards = 0;  ///< degrees from the dorsal side over the medial one, 0 to 360
  double peak_strain_stance = 0;   ///< per cent of stance in which it stands, 0: not said
  double head_pressure_stance = 0; ///< the same of the peak pressure under the head
  /// Over the whole step, which is known to postprocess/compare/step.hpp alone; the largest with its place and side as of the peak.
  SpotRanges spots;
  double strain_range = 0, strain_range_at = 0, strain_range_towards = 0;
  bool peak_strain_at_end = false; ///< it stands at the first or last station that counts: beyond it may rise
  Banded peak_dorsal;              ///< ue, extreme dorsal strain of the same part, signed
  Banded peak_plantar;             ///< ue
  double peak_dorsal_at = 0;       ///< fraction of length
  double peak_plantar_at = 0;
  Banded peak_moment;        ///< N mm, largest sagittal |M| of the shaft, signed
  double peak_moment_at = 0; ///< fraction of length
  /// MPa: E times the largest bending strain of the shaft, sagittal and transverse together (root of the sum
  /// of squares, as on an ellipse).
  Banded peak_bending_stress;
  double peak_bending_at = 0;  ///< fraction of length
  double peak_tension = 0;     ///< MPa, largest principal value of S in the shaft's cortex
  double peak_tension_at = 0;  ///< fraction of length
  double peak_compression = 0; ///< MPa, smallest principal value of S (negative)
  double peak_compression_at = 0;
  double peak_medial = 0;  ///< ue, extreme strain of the medial side, wherever along the shaft it stands
  double peak_lateral = 0; ///< ue, the same of its lateral side
  Banded head_force;       ///< N, vertical contact force under the head (distal 30 % of the ray and beyond)
  double shaft_force = 0;  ///< N, the rest of the ray's contact force
  /// kPa, under the head as a sensor shows it: the largest mean over a square of 10 x 10 mm in plan whose
  /// centre stands within 10 mm of the head's along the foot and which keeps to the ray's own skin across
  /// (forefoot/sensor_pressure.hpp). A single calculated point can be higher.
  Banded head_peak_pressure;
  Vec3 head_sensor{}; ///< mm, centre of that square, in the frame of `plantar` (z = 0)
  double head_peak_shear =
      0; ///< kPa, the largest mean shear over such a square, by which skin and sock stick
  double head_mean_pressure =
      0;                   ///< kPa over the loaded area (above 5 kPa) within 10 mm of the head along the foot
  double contact_area = 0; ///< mm2 loaded
  /// mm along the surface by which a point of the skin stands apart from the point of the insole that it is paired
  /// with, the largest of the loaded area; and the same in cells of the mesh. Points are paired once, at rest.
  double contact_slip = 0, contact_slip_cells = 0;
  Banded
      shaft_peak_pressure; ///< kPa, the same under the proximal 70 % of the ray; skin distal of it counts 0
  /// Part of the unloaded thickness lost under the head, normal to the sole (0..1).
  double tissue_compression = 0;
  double fascia_tension = 0;   ///< N
  double flexor_tension = 0;   ///< N
  double toe_load = 0;         ///< N
  double base_force_axial = 0; ///< N at the proximal face, tension positive
};

/// One four-sided patch of a surface for pictures: corners (deformed position) and a value at each.
struct Patch {
  std::array<Vec3, 4> corner;
  std::array<double, 4> value;
  int ray = 0; ///< 1..5
};

struct SolveRecord {
  unsigned long unknowns = 0;
  unsigned long cells = 0;
  unsigned newton_steps = 0;
  unsigned cg_iterations = 0;
  unsigned most_cg_in_a_step = 0;
  unsigned descent_iterations = 0; ///< of L-BFGS on the coarsest level
  unsigned load_steps = 0;
  double seconds = 0;
  double peak_memory_mib = 0; ///< of all ranks together
  unsigned ranks = 1;
};

struct DesignResult {
  std::string design;       ///< Design::name
  bool with_support = true; ///< false: solved with its support elements taken away
  bool converged = false;
  double stance_percent = 0; ///< instant of the activity's course, 0: not said
  std::string message;       ///< why not, and which input most likely caused it
  std::array<RayResult, 5> ray;
  double applied_force = 0; ///< N, total vertical
  double ground_force = 0;  ///< N, through the sole plus toe loads
  double midfoot_drop = 0;  ///< mm, settling of the midfoot
  Posture posture;          ///< the midfoot's turns and what holds them, and the toes
  /// N, contact force over the plan of pads, bars, fills, reliefs and regions of another hardness, edge to edge;
  /// not a number where a design has none of them (a wedge lies under all, a plate under the whole width).
  double support_force = 0;
  double fascia_total = 0; ///< N
  /// N: what the shoe's upper pulls the insole's proximal edge up to the midfoot with, columns together. Heads,
  /// shafts and toes bear it besides the applied force.
  double upper_total = 0;
  std::vector<Patch> bones;   ///< outer surface of the metatarsals; value = stress along the ray, MPa
  std::vector<Patch> plantar; ///< plan of the plantar skin; value = contact pressure, kPa (corner z = 0)
  SolveRecord record;
};

/// One design over a step: one result an instant, in the order of stance.
using StepResult = std::vector<DesignResult>;

} // namespace raybend
