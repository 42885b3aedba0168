// The forefoot on an insole: from plain values to plain results. The one public header of this folder for
// users of the forefoot (the textbook bodies use problem.hpp).
#pragma once
#include "geometry/forefoot.hpp"
#include "geometry/insole.hpp"
#include "solver/loads.hpp"
#include "solver/results.hpp"
#include "solver/settings.hpp"
#include <functional>
#include <memory>
#include <mpi.h>
#include <optional>
#include <string>

namespace raybend {

struct ForefootState; // deal.II objects of the last solve, for field output (solver/forefoot/state.hpp)

/// One foot under one activity; solves designs one after another on the same mesh and levels.
/// MPI must be initialized. Results are complete on rank 0 only (converged and record on all ranks).
class ForefootModel {
public:
  using Progress = std::function<void(const std::string &)>; ///< short lines of what is going on; rank 0 only

  /// Throws std::runtime_error naming the rays if bones touch.
  ForefootModel(const Forefoot &foot, const Activity &activity, const Settings &settings, MPI_Comm comm);
  ~ForefootModel();

  /// The next designs are solved at this instant. `about`: the reference's posture then, about which the midfoot
  /// turns against the ankle; empty: the next design is the reference (DesignResult::posture is what it takes).
  void take_instant(const Activity &activity, const std::optional<Posture> &about);

  /// The next designs are solved with another foot, from the solution of the first design that the last foot was solved with.
  /// Throws as the constructor does; the foot stays then.
  void take_foot(const Forefoot &foot);

  /// Solves one design: the whole load path on the coarsest level, then Newton level by level from the
  /// embedded coarser solution; a design after the first starts from the last one's solution on the coarsest
  /// level. Bands come from the difference of the two finest levels. An insole that folds over itself is not
  /// solved: `converged` is false and `message` says where. Throws std::runtime_error with the place if the
  /// foot does, or if part of the model is held by nothing.
  DesignResult solve(const Design &design, const Progress &progress = {});

  /// Unknowns at a resolution, for forecasts.
  static unsigned long unknowns(Resolution resolution);

  const ForefootState &state() const;

private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

} // namespace raybend
