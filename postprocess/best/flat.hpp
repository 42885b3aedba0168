// How flat an optimum is: how far each input may be off.
#pragma once
#include "postprocess/best/search.hpp"

namespace raybend {

struct FlatPoint {
  double x = 0, aim = 0, use = 0; ///< by the surrogate; use: of the worst cap
};

/// Along one input, the others as in the best design.
struct FlatRange {
  std::size_t input = 0;
  double low = 0, high = 0; ///< the aim rises by less than the tolerance in between, and no cap is broken
  enum class End { limit, aim, cap } low_end = End::limit, high_end = End::limit;
  std::size_t low_cap = 0, high_cap = 0; ///< which, where a cap ends it
  std::vector<FlatPoint> curve;          ///< over the whole of its limits
  std::vector<std::size_t> solved;       ///< candidates on this line, by x
};

/// One for each number between limits.
std::vector<FlatRange> flat_ranges(const BestProblem &problem, const BestModels &models,
                                   const std::vector<Candidate> &candidates, std::size_t best);
constexpr double cap_slack = 1e-6; ///< of a cap: rounding

/// Places of the pairs that no other pair is below in both, by the first number. Pairs with a number that is not finite are left out.
std::vector<std::size_t> pareto_front(const std::vector<std::pair<double, double>> &pairs);

} // namespace raybend
