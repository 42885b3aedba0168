// Numerical settings of a solve. Plain values.
#pragma once

namespace raybend {

enum class Resolution { coarse = 0, standard = 1, fine = 2 }; ///< global refinements of the coarsest mesh

struct Settings {
  Resolution resolution = Resolution::standard;
  double contact_stiffness = 5; ///< MPa/mm: compliance of skin and sock
  double skin_grip = 0.04;      ///< MPa/mm: skin and sock that stick to the insole
  double ground_stiffness = 10; ///< MPa/mm: sole on ground
  double ground_grip = 3;       ///< MPa/mm: an outsole that sticks to the ground
  double newton_tolerance =
      1e-7; ///< residual relative to the applied force, at the full load on the finest level
  double linear_tolerance = 1e-2; ///< CG residual reduction inside a Newton step (last steps go on to 3e-3)
  unsigned max_newton = 25;       ///< steps per load step; as many again once out of balance by 1 % at most
  unsigned load_steps = 3;        ///< first try; halved where Newton fails
};

} // namespace raybend
