// Samples whose columns go together.
#pragma once
#include <cstdint>
#include <vector>

namespace raybend {

using Matrix = std::vector<std::vector<double>>; ///< rows

/// Reorders each column of `sample` (rows: points) so that the columns' rank correlations come near to `wanted`
/// (symmetric, ones on the diagonal): R. L. Iman and W. J. Conover, Commun. Stat. Simul. Comput. 11 (1982) 311-334, with
/// van der Waerden scores. Each column keeps its values. Throws std::invalid_argument if `wanted` is not positive
/// definite, or the sample has too few points (at least one more than columns).
void correlate_ranks(Matrix &sample, const Matrix &wanted, std::uint64_t seed);

/// Spearman's coefficient of two columns; equal values share the mean of their ranks.
double rank_correlation(const Matrix &sample, std::size_t a, std::size_t b);

} // namespace raybend
