// One foot under every design, at one instant of each activity, and walking barefoot.
#pragma once
#include "cases/forefoot/case.hpp"
#include "postprocess/compare/day.hpp"
#include "postprocess/sure/foot_sample.hpp"
#include "solver/forefoot_model.hpp"
#include <functional>
#include <memory>
#include <vector>

namespace raybend {

/// The case reduced to one instant of each activity, by its place in the course: what every drawn foot is solved at. Walking barefoot
/// without a load at its largest force but one (80 % of stance) stands behind the activities.
Case at_instants(const Case &c, const std::vector<std::size_t> &instants);

struct FootResult {
  FootOutputs outputs;
  bool only_barefoot = false;
  MeshPair mesh;                           ///< empty on the coarse mesh, which has no coarser one
  std::vector<std::vector<double>> by_law; ///< of a day: strain as in `outputs`, at each of fatigue_laws
};

/// Solves foot after foot: one starts from what the last one gave, on the coarse mesh.
class FootSolver {
public:
  /// `c` as at_instants makes it. On a finer mesh the outputs are those of the coarse one and `mesh` has both. Throws what a
  /// ForefootModel does.
  FootResult solve(const Case &c);
  /// Barefoot first, then the designs if `worth` says so of what it shows there (barefoot_values).
  FootResult solve_worth(const Case &c, const std::function<bool(const std::vector<double> &)> &worth);

private:
  ForefootModel &model(const Case &c, std::size_t activity, bool coarse);
  std::vector<DesignResult> solve_designs(const Case &c, std::size_t activity, ForefootModel &model) const;

  std::vector<std::unique_ptr<ForefootModel>> coarse_; ///< one an activity
  std::unique_ptr<ForefootModel> finer_;
};

FootOutputs no_outputs(std::size_t designs); ///< nothing is known of any

/// What the results of each activity's designs say of the foot: [activity][design]. `law`: place in fatigue_laws.
FootOutputs outputs_of(const Case &c, const std::vector<std::vector<DesignResult>> &results, bool coarser,
                       std::size_t law = one_law);

} // namespace raybend
