// Ties, the rigid carrier (the midfoot) and the slide: what is eliminated, and the low-rank part that it leaves.
#pragma once
#include "solver/kernel/low_rank.hpp"
#include "solver/operator/faces.hpp"
#include "solver/operator/tie_pull.hpp"

namespace raybend {

/// Of the weak form in solid_operator.hpp what depends on the motions w (mm; the carrier's, then the slide's) and what
/// depends on u through few numbers:
///
///   Pi      - C_m.u w_m + 1/2 w_m G_mn w_n                              of springs and grip (Faces::add_coupling)
///           + sum_r energy(e_r),   e_r = e(P_r^T u - A_rm w_m)          ties; tie_pull.hpp; with a toe also of its bone's motion in space
///           + lambda F w_0 + sum_m [ lambda p_m w_m + h_m/2 (w_m - lambda r_m)^2 ]     what holds the carrier
///
/// P_r^T u is the mean displacement along the tie's axes, A_rm the mode v_m at its anchor along these. w is
/// eliminated: for given u a few Newton steps on a small system, convex in w, give it (one where no tie swings). Then
///
///   dPi     - C_m w_m + sum_r P_r T_r de_r/dd
///   d2Pi    sum_r P_r K_r P_r^T  -  C G^-1 C^T                          K_r = d2 energy / dd2, K_r A_r added to C
class TiesAndCarrier {
public:
  explicit TiesAndCarrier(const Level &level) : level_(level) {}

  /// Call after the faces' own. Throws std::runtime_error where no cell has its middle in a tie's region.
  void update_problem(const Problem &problem, const Faces &faces);

  /// Adds the share of energy and of the rounding error to expect in it (N mm) and, if not null, of the residual. False
  /// if no motion is found.
  bool add_residual(Vector *residual, const Vector &u, double load, double &energy, double &noise) const;

  /// Stores the tangent at u.
  void linearize(const Vector &u, double load);
  /// Products with the tangent and its diagonal: columns P_r and the springs' C_m.
  const LowRank &low_rank() const { return low_rank_; }

  /// For given u: w; what `Carrier::holding` exerts against each mode at a motion, N; each tie's
  /// tension, N, or all of how it pulls; what it exerts on its region, N; its region's mean motion (mm; of a tie that
  /// swings from an anchor).
  std::vector<double> motion(const Vector &u, double load) const;
  std::vector<double> holding_forces(const std::vector<double> &motion, double load) const;
  std::vector<double> tensions(const Vector &u, double load) const;
  std::vector<TiePull> pulls(const Vector &u, double load) const;
  std::vector<Vec3> forces(const Vector &u, double load) const;
  Vec3 mean_motion(const Vector &u, unsigned tie) const;

private:
  struct Small {                    // the eliminated motions for given u
    dealii::Vector<double> product; ///< P^T u and C^T u, of ties and springs
    std::vector<double> motion;
    std::vector<TiePull> pull;
    dealii::FullMatrix<double> g;
    bool settled = false; ///< w was found
  };
  Small solve_small(const Vector &u, double load) const;
  struct Held {
    double stiffness = 0, push = 0, rest = 0;
  };
  unsigned level_number() const;
  Held held_by(unsigned mode) const; ///< Carrier::holding of a mode, on this level

  /// A tie's place in `tie_`: a column of P_r for each axis.
  struct TieColumns {
    std::vector<Vec3> axes;
    unsigned first;
    /// Of each mode: its motion of the anchor along the axes, A_r.
    std::vector<std::array<double, TiePull::most_axes>> anchor;
  };
  const Problem *problem_ = nullptr;
  const Level &level_;
  std::vector<TieColumns> tie_columns_;
  std::vector<Vector> tie_, spring_c_;  ///< P_r and the springs' part of C_m, free unknowns
  std::vector<Vector> at_fixed_;        ///< their entries at fixed unknowns; empty where there are none
  dealii::FullMatrix<double> spring_g_; ///< springs' part of G
  LowRank low_rank_;
};

} // namespace raybend
