// Sample, solves and rounds of a search for the best design, all in one store.
#pragma once
#include "cases/best/best_values.hpp"
#include "postprocess/best/search.hpp"

namespace raybend {

/// The candidates before the search: first the design as it stands in the case, where the limits have it (`stands`), then
/// the corners of the limits (of one to three numbers between limits; an optimum often stands at a limit, and a surrogate that
/// goes beyond its points is a guess), then Sobol points on the inputs' steps, each once and each a valid case. Throws CaseError where none is.
struct BestSample {
  std::vector<std::vector<double>> places;
  bool stands = false;
};
BestSample best_sample(const Best &best);

/// Values of the uncertain inputs, `draws` rows, a Latin hypercube: the same for every candidate.
std::vector<StudyPoint> best_draws(const Best &best);

/// The points of the store's plan: every candidate at every draw.
std::vector<StudyPoint> best_points(const Best &best, const std::vector<std::vector<double>> &places);

struct FoundBest {
  BestProblem problem;
  BestSearch search;   ///< places in the list of candidates are those in the store
  bool stands = false; ///< the first candidate is the design as it stands in the case
  DesignValues reference, stood,
      won; ///< `won`: of the best or, where none is within the caps, of the nearest
  std::array<std::size_t, 4>
      least_at{};                   ///< of each fatigue law: the candidate within all caps with the least aim
  std::size_t runs = 0, failed = 0; ///< in the store
};

/// Solves what the store does not have yet, rounds and all, with that many workers; nothing new where `solve` is false. What
/// rounds of other caps solved in the same store counts as sample. Throws as run_study does.
FoundBest run_best(const Best &best, const BestSample &sample, StudyStore &store, unsigned workers,
                   bool shown, bool solve);

} // namespace raybend
