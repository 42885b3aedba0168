// Where to look for feet that walk as people were measured.
#pragma once
#include "postprocess/sure/foot_sample.hpp"
#include <cstdint>
#include <vector>

namespace raybend {

/// A foot to be solved: its place in the pool, how much likelier it is drawn than people have it, and which of the draws took it.
struct DrawnFoot {
  std::size_t place = 0;
  double density = 1;
  std::vector<std::size_t> draws; ///< rising
  double luck = 0;                ///< of (0, 1): its designs are solved with a chance above it

  /// ln of what its weight is divided by, once the first `made` draws count.
  double log_proposal(std::size_t made) const;
};

/// Feet whose designs tell little are thinned: once a foot has walked barefoot and weighs w, its designs are solved with the chance
/// min(1, w / level), and it then weighs max(w, level).
double chance_kept(double weight, double level);
/// The level at which the same doubt costs least: which minimises
///     sum_i n_i (1 + cost p_i)  sum_i n_i w_i^2 / p_i,   p_i = chance_kept(w_i, level),
/// over feet i of weight w_i that stand for n_i drawn ones; `cost`: of a foot's designs over that of its walking barefoot. 0: nothing is
/// known of weights, every foot is solved.
double thinning_level(const std::vector<double> &weight, const std::vector<double> &number, double cost);

/// Guesses from feet that walked barefoot what others show there, and draws where what is published has them: from a pool of people's
/// feet, with replacement, in proportion to
///     r(z) = 0.2 + 0.8 L(z) / mean of L,   L(z) = prod_j exp(-(g_j(z) - mean_j)^2 / (2 (deviation_j^2 + s_j^2))),
/// g_j linear in the numbers, by ridge regression whose penalty has the least leave-one-out error, s_j what it misses of feet left
/// out. A number that it tells nothing of counts for nothing; without any the feet are people's.
class Proposal {
public:
  Proposal(const std::vector<SolvedFoot> &scouts, const std::vector<PublishedNumber> &published);

  /// Feet in the order in which they were drawn first, each once; fewer than `feet` draws where some were drawn again.
  std::vector<DrawnFoot> draw(const std::vector<std::vector<double>> &pool, std::size_t feet,
                              std::uint64_t seed);

  /// r(z) of a foot, of the pool that was drawn from last.
  double density(const std::vector<double> &z) const;

  /// By published number: mean square of what is missed of feet left out over the variance; 1: nothing is told.
  const std::vector<double> &missed() const { return missed_; }

private:
  struct Guess {
    std::vector<double> slope;
    double constant = 0, mean = 0,
           variance = 0; ///< of the published number, and its deviation squared plus s^2
  };
  double log_likelihood(const std::vector<double> &z) const;

  std::vector<Guess> guesses_;
  double mean_ = 1; ///< of L, over the pool
  std::vector<double> missed_;
};

} // namespace raybend
