// The points of a study.
#pragma once
#include "cases/study/plan/rank_correlation.hpp"
#include "cases/study/study.hpp"

namespace raybend {

constexpr std::size_t most_runs = 100000; ///< of a study: points times designs times activities
constexpr std::size_t most_sobol_inputs = 100;

/// `points` rows of `inputs` numbers in [0, 1): of each column one in every n-th part, at random within it.
Matrix latin_hypercube(std::size_t points, std::size_t inputs, std::uint64_t seed);

/// The first points of Sobol's sequence (Boost.Random: direction numbers of Joe and Kuo 2008), without the one at zero.
/// A seed other than 0 shifts all of them alike, modulo 1 (Cranley and Patterson 1976).
Matrix sobol_points(std::size_t points, std::size_t inputs, std::uint64_t seed);

/// How many points the plan has, without making them.
double count_points(const Study &study);

/// All points. One at a time: the first is the base, each input at its `base` value (of the case), the others in the
/// order of the inputs, the base left out. Of a distribution its 5 and 95 per cent quantiles are taken there.
/// Throws std::invalid_argument as correlate_ranks does.
std::vector<StudyPoint> plan_points(const Study &study, const StudyPoint &base);

} // namespace raybend
