// A beam solved in three dimensions, read as a beam. No deal.II in this header.
#pragma once
#include "geometry/beam_holds.hpp"
#include <functional>
#include <memory>

namespace raybend {

/// Section at one plane of the coarsest mesh. Section forces as in FrameStation: from the part beyond on the
/// part before, force = N, Vy, Vz (N), moment = T, My, Mz (N mm), in the undeformed section's axes. At a
/// support they are those just before it, at the start and within what it holds there those just beyond.
struct SolidStation {
  double s = 0;
  Vec3 u{};        ///< mean displacement of the section, mm, fixed frame
  Vec3 rotation{}; ///< mean rotation about tangent, y, z, rad; finite strain: axis times angle
  Vec3 force{}, moment{};
  Vec3 statics_force{}, statics_moment{}; ///< the same from all that acts beyond the plane
};

struct SolidResult {
  unsigned level = 0;
  unsigned long unknowns = 0, cells = 0;
  unsigned iterations = 0; ///< of conjugate gradients
  double seconds = 0;
  std::vector<SolidStation> stations;
  std::vector<Vec3> force, moment; ///< of each support on the beam, fixed frame; moment about the axis there
  std::vector<bool> touching;      ///< of each support
  double largest_rotation_deg = 0; ///< of any section
  double support_slip = 0;         ///< mm: largest motion that a rigid support lets through
  double load = 1;                 ///< factor of all loads
  std::vector<SolidResult> steps;  ///< finite strain: the load steps before this one
  const SolidStation &at(double s) const; ///< nearest station
  Vec3 displacement(double s) const;      ///< mean of the section, linear between stations
};

/// Solved level by level: `solve` keeps the last level for the other functions.
class BeamSolid {
public:
  /// `stations`: arc lengths at which sections will be read (added to the planes between cells).
  explicit BeamSolid(Beam beam, std::vector<double> stations = {});
  ~BeamSolid();

  /// `level` halves every cell of the coarsest mesh that many times. `progress` may be empty.
  /// Throws std::runtime_error if the solution fails (no convergence, the beam lifts off its supports).
  const SolidResult &solve(unsigned level, const std::function<void(const std::string &)> &progress = {});

  /// Axial stress at arc length s and a logical point of the section, the mean of both sides of s; MPa.
  double stress(double s, double eta, double zeta) const;

  /// Displacement and stress for ParaView; throws std::runtime_error if it cannot be written. `path` ends in
  /// .vtu.
  void write_vtu(const std::string &path) const;

  const Beam &beam() const;
  const SolidResult &result() const;

private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

} // namespace raybend
