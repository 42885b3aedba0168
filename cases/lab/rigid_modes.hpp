// The six rigid-body modes of a body that nothing holds.
#pragma once

namespace raybend {

class Body;

struct RigidModes {
  double ratio; ///< largest of the six smallest |eigenvalues| over the seventh, of the stiffness at rest
  double image; ///< largest |K r|_max / (largest eigenvalue |r|_max) over the six rigid fields r
};

/// Dense eigenvalues: for bodies of up to about a thousand unknowns.
RigidModes rigid_modes(Body &body);

} // namespace raybend
