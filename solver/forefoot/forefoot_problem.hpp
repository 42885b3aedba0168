// The forefoot as a Problem: which materials, supports, ties and loads, and why.
#pragma once
#include "geometry/foot_shape.hpp"
#include "geometry/insole_shape.hpp"
#include "solver/loads.hpp"
#include "solver/problem.hpp"
#include "solver/settings.hpp"

namespace raybend {

/// Statics of a toe (Stokes 1979; Gross & Bunch 1989: approach): the toe, cut free at the metatarsophalangeal
/// joint, is loaded by N at the lever `toe_lever`; the flexor tendon balances the moment at `flexor_lever`.
///   T = effort share_r sum_k N_k toe_lever_k / flexor_lever_k ;  the head receives N (up) and T (towards the hindfoot).
/// What statics asks of all flexors is shared among the rays as their tendons are strong (Ray::flexor_share).
/// `effort` (Activity::flexor_effort) is 1 where the flexors alone balance the toe; more where they also work against
/// its extensors, whose own pull, along the back of the bone, is left out.
struct ToeStatics {
  double load = 0;   ///< N
  double flexor = 0; ///< T, N
};
ToeStatics toe_statics(const Forefoot &foot, const Activity &activity, int ray);

/// What a toe lies on: the insole under it, of the toe's area, as a spring.
struct ToeSupport {
  double height =
      0; ///< of the unloaded bed over the skin's plane under the heads, along the ground's force, mm
  double stiffness = 0; ///< N/mm
};
ToeSupport toe_support(const InsoleShape &insole, const Activity &activity, int ray);

/// Unit vector of the ground's force on the foot in the foot frame: the vertical, which the heel's rise tilts
/// proximally, and the activity's forward part.
Vec3 force_direction(const Activity &activity);

constexpr int first_upper_tie = 9, uppers = 5;

/// Tie r in `Problem::ties` is ray r + 1's fascia slip (with the flexor's constant tension, and the toe if `about`
/// says how it lay on the reference); ties 5..8 are
/// the deep transverse ligament from head to head, 9..13 (from `first_upper_tie` on) the shoe upper over the insole's proximal edge,
/// column by column; the last five are the joints' stops. `about`: posture of the reference, about which the midfoot turns
/// against the ankle's stiffness and the toes against their own; nullptr: this insole is the reference. The Problem keeps references to `shape` and `insole`: they must outlive it.
Problem forefoot_problem(const Forefoot &foot, const FootShape &shape, const InsoleShape &insole,
                         const Activity &activity, const Settings &settings, const CoarseMesh &mesh,
                         const Posture *about = nullptr);

/// Board for `Activity::barefoot`: 5 mm, E 1000 MPa: almost three thousand times the skin's (3 tissue_mu, 0.36 MPa). With the
/// heel up `forefoot_problem` makes it soft where the ground falls away.
Design rigid_board();

} // namespace raybend
