// How often a comparison would come out otherwise.
//
// A foot k is z_k, its uncertain numbers in standard deviations, of N(0, I) cut at 3 in people and drawn with the density r(z) over
// that. It is solved under every design d and walking barefoot, where it shows the numbers q_kj. It weighs
//     w_k = prod_j exp(-(q_kj - mean_j)^2 / (2 deviation_j^2)) / r(z_k)
// by what is published of people (importance weights); its designs were solved with a chance of c_k and then w_k / c_k counts for
// them. Of design d let
//     y_kd = ln(strain of the painful ray over the reference's) + m_d + e_d,
// m_d of the model: of each question one of its answers, as likely each, as the change of y_d at the case's own numbers; e_d of the
// mesh: what it changed of a foot solved on both meshes, all designs together, and a third of the mean for what a still finer mesh
// would change. Both are drawn many times for every foot. Chances are weighted parts, drawn a little to all alike, as few feet cannot be
// certain; their own error is that of as many feet as weigh alike, (sum w)^2 / sum w^2.
#pragma once
#include "postprocess/sure/foot_sample.hpp"
#include <cstdint>
#include <string>
#include <vector>

namespace raybend {

/// Design a against design b in the painful ray.
struct PairChance {
  std::size_t a = 0, b = 0;             ///< places
  double less = 0;                      ///< chance that a leaves less strain than b
  double median = 0, low = 0, high = 0; ///< per cent of b: median, 5 and 95 per cent quantiles
  double person = 0, model = 0,
         mesh = 0; ///< standard deviations that each source makes alone, per cent points
};

/// Chances of what speaks against a design; not a number of the reference, which nothing is compared with.
struct CautionChance {
  double head_pressure = 0; ///< under some head the peak pressure rises by more than notable_rise
  double other_ray = 0;     ///< some other ray's strain does
  double not_carried = 0;   ///< chance that it is not solved or its heads hang
};
constexpr double notable_rise = 0.05; ///< part of the reference's value (chosen)

/// What measuring would do to the doubt about the two best designs.
struct Measurement {
  std::string words;
  double part = 0;        ///< of the variance of their difference
  double wrong_after = 0; ///< expected chance of taking the worse one of the two
};

/// Designs by strain, least first, under one answer to a question of the model, at the case's own numbers on the coarse mesh.
struct ModelOrder {
  std::string question, answer;
  std::vector<std::size_t> order; ///< places; those that are not solved are left out
  bool turned =
      false; ///< two designs change places that differ by more than least_turn both before and after
};
constexpr double least_turn =
    0.02; ///< of strain: what the coarse mesh leaves open of a difference, at least (chosen)

/// A published number and what the feet have of it, as people have them by their spreads alone and weighed.
struct EvidenceFit {
  double before = 0, before_deviation = 0, after = 0, after_deviation = 0;
};

struct Sureness {
  std::string why_not;    ///< in words; empty: the chances hold
  std::size_t solved = 0; ///< feet under every design
  std::size_t tried = 0;  ///< with those that only walked barefoot
  double effective = 0;   ///< number of feet alike in weight that would tell as much
  double seconds = 0;
  bool of_day = false; ///< of the day-equivalent strain of several activities
  std::vector<std::string> designs;
  std::vector<std::size_t> order;        ///< places by mean rank
  std::vector<std::vector<double>> rank; ///< [place][rank from 0]: chances
  std::vector<PairChance> pairs;         ///< every two, a < b as places
  std::vector<CautionChance> cautions;
  double wrong_now = 0; ///< chance that of the first two in `order` the second leaves less
  double told_by_chance =
      1; ///< part that the best of as many measurements without meaning would seem to tell (95 %)
  std::vector<Measurement> measurements;  ///< the most helpful first
  std::vector<PublishedNumber> published; ///< with `evidence` one each
  std::vector<EvidenceFit> evidence;
  std::vector<UncertainNumber> numbers;
  std::vector<std::size_t> own_order; ///< as the case has the model; known without feet too, as model_orders
  std::vector<ModelOrder> model_orders;

  /// a against b, whichever way round they are kept. Throws std::out_of_range where one is not known.
  PairChance pair(std::size_t a, std::size_t b) const;
  /// Standard error of a chance.
  double error_of(double chance) const;
};

constexpr double least_effective = 12; ///< feet, below it nothing is said (chosen)

/// ln of the likelihood of what a foot shows barefoot.
double log_likelihood(const std::vector<double> &evidence, const std::vector<PublishedNumber> &published);

/// Throws std::invalid_argument if lengths do not agree.
Sureness how_sure(const FootSample &sample, std::uint64_t seed = 1);

} // namespace raybend
