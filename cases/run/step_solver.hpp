// Solves designs at every instant of one activity's step: the reference first, whose posture the others turn about.
#pragma once
#include "cases/forefoot/case.hpp"
#include "solver/forefoot_model.hpp"
#include "solver/results.hpp"
#include <functional>
#include <memory>

namespace raybend {

/// One activity of a case on one group of ranks. The reference design chooses the instants (instants.hpp) and gives
/// the posture of each.
class StepSolver {
public:
  using Progress = std::function<void(const std::string &)>;

  /// Builds the model; solves nothing. Throws as ForefootModel does.
  StepSolver(const Case &c, std::size_t activity, MPI_Comm comm);

  /// All instants of a design, in the order of stance. `write_fields` (may be empty) is called once, at the instant
  /// that strains the reference's painful ray most, if the design converged there.
  StepResult solve(const Design &design, const Progress &progress,
                   const std::function<void(const ForefootModel &)> &write_fields = {});

private:
  DesignResult solve_at(std::size_t instant, const Design &design, const Progress &progress);
  void solve_reference(const Progress &progress);
  std::vector<double> watched(const DesignResult &result) const;

  const Case &case_;
  std::size_t activity_;
  MPI_Comm comm_;
  std::vector<Activity> course_;
  std::unique_ptr<ForefootModel> model_;
  std::vector<std::size_t> instants_;                  ///< places in course_, of those solved, in order
  std::vector<std::optional<MidfootPosture>> posture_; ///< one an entry of course_
  StepResult reference_;
  std::size_t worst_ = 0; ///< place in course_ of the instant that strains the reference most
  bool backward_ = false; ///< the next design goes from the last instant to the first
};

} // namespace raybend
