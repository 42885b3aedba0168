// One straight element of the frame. Used by the frame alone.
#pragma once
#include "solver/beam/frame.hpp"

namespace raybend {

using Matrix6 = std::array<std::array<double, 6>, 6>;
using Matrix12 = std::array<std::array<double, 12>, 12>;
using Vector12 =
    std::array<double, 12>; ///< displacement and rotation (force and moment) at start, then at end

/// Throws std::logic_error if singular.
Matrix6 inverse(Matrix6 a);

struct FrameElement {
  double s0, s1, length;
  std::array<Vec3, 3> axes; ///< tangent, y, z in the fixed frame
  Matrix12 local;           ///< stiffness in the element's axes
  Matrix12 fixed;           ///< in the fixed frame

  FrameElement(const Beam &beam, BeamTheory theory, double s0, double s1);

  /// Nodal forces in the fixed frame of a load that varies linearly from q0 to q1 (N/mm, fixed frame).
  Vector12 linear_load(const Vec3 &q0, const Vec3 &q1) const;

  /// Nodal forces in the fixed frame that would stretch and bend the element as its temperature does.
  Vector12 thermal_load(const Beam &beam) const;

  /// Adds a Winkler foundation along the element's z, k in N/mm2.
  void add_foundation(double k);

  Vector12 to_local(const Vector12 &fixed_vector) const;

private:
  Vector12 to_fixed(const Vector12 &local_vector) const;
  void rotate();
};

} // namespace raybend
