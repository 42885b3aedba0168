// Solves designs at every instant of one activity's step: the reference first, whose posture the others turn about.
#pragma once
#include "cases/forefoot/case.hpp"
#include "solver/forefoot_model.hpp"
#include "solver/results.hpp"
#include <functional>
#include <memory>

namespace raybend {

/// What the reference design settles for every design of an activity.
struct StepReference {
  std::vector<std::size_t> instants; ///< that are solved: places in the course, in the order of stance
  std::size_t worst = 0;             ///< of them the one that strains the reference's painful ray most
  StepResult result;                 ///< of the reference, one an entry of `instants`; empty: not solved yet
};

/// The design that the others are compared with.
const Design &reference_design(const Case &c);

/// The instants of a step whose results are known, with their results. Throws std::runtime_error where one is none of the
/// activity's.
StepReference reference_of(const Case &c, std::size_t activity, const StepResult &result);

/// One activity of a case on one group of ranks. The reference design chooses the instants (instants.hpp), on the coarse
/// mesh, and gives the posture of each, on every mesh.
class StepSolver {
public:
  using Progress = std::function<void(const std::string &)>;
  using WriteFields = std::function<void(const ForefootModel &)>;

  /// Solves nothing. Throws as ForefootModel does.
  StepSolver(const Case &c, std::size_t activity, MPI_Comm comm);

  /// The instants, without results.
  StepReference choose_instants(const Progress &progress);

  /// The reference at some of the chosen instants, in the order asked. `write_fields` (may be empty) is called once, at
  /// the worst instant, if it is among them and converged.
  StepResult solve_reference(const StepReference &chosen, const std::vector<std::size_t> &instants,
                             const Progress &progress, const WriteFields &write_fields = {});

  /// What other designs turn about, for solve(): `reference.result` has to be there.
  void take(const StepReference &reference);

  /// All instants of a design, in the order of stance; chooses them and solves the reference first where nothing was
  /// taken. `write_fields` as above.
  StepResult solve(const Design &design, const Progress &progress, const WriteFields &write_fields = {});

private:
  ForefootModel &model();
  DesignResult solve_at(ForefootModel &model, std::size_t instant, const Design &design,
                        const Progress &progress);
  std::vector<double> watched(const DesignResult &result) const;

  const Case &case_;
  std::size_t activity_;
  MPI_Comm comm_;
  std::vector<Activity> course_;
  std::unique_ptr<ForefootModel> model_;
  std::vector<std::optional<Posture>> posture_; ///< one an entry of course_
  StepReference reference_;
  bool backward_ = false; ///< the next design goes from the last instant to the first
};

} // namespace raybend
