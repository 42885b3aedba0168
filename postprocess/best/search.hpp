// The search: a surrogate's optimum is solved, the surrogate made anew with it, until both agree.
#pragma once
#include "postprocess/best/model.hpp"
#include <functional>
#include <optional>

namespace raybend {

struct BestProblem {
  std::vector<BestInput> inputs;
  std::size_t caps = 0;    ///< length of Candidate::use
  double tolerance = 0.02; ///< of the aim: smaller differences count as none
  int rounds = 10;         ///< at most
  std::uint64_t seed = 1;  ///< of the places where the search on the surrogate begins
  /// True if these values make a design that can be solved.
  std::function<bool(const std::vector<double> &)> valid;
  /// Solves these points. What comes back counts, also where it is something else (a round that was solved before); nothing
  /// ends the search.
  std::function<std::vector<Candidate>(int round, const std::vector<std::vector<double>> &)> solve;
};

/// Aim, caps and pressure by the surrogate.
struct BestModels {
  std::optional<BestModel> aim, pressure;
  std::vector<BestModel> use;

  double largest_use(const std::vector<double> &x) const; ///< 0 without caps
};

/// From all candidates that are solved.
BestModels fit_models(const BestProblem &problem, const std::vector<Candidate> &candidates);

struct BestSearch {
  std::vector<Candidate> candidates;  ///< the sample first
  std::optional<std::size_t> best;    ///< least aim of those within all caps; empty: none is
  std::optional<std::size_t> nearest; ///< where none is: the one that exceeds its worst cap least
  bool agreed = false; ///< its aim was foretold within the tolerance, and nothing better is foretold
  double foretold = Candidate::unknown; ///< its aim by a surrogate from all other candidates
  double gain_left = 0;                 ///< part of the aim that the surrogate foretells to be won elsewhere
  BestModels models;                    ///< from all candidates
};

/// Least aim among the candidates within all caps.
std::optional<std::size_t> best_of(const std::vector<Candidate> &candidates);

/// Each round solves the surrogate's optimum within the caps, and the place where a better one could hide (its value less two
/// deviations); where the optimum stands already, its neighbours along each input instead, at the edges of where the aim rises by the
/// tolerance. It ends where the optimum was foretold within the tolerance, no better one is foretold (nor hoped for, by two deviations) and its neighbours are
/// solved, or when the rounds are used up; the neighbours are solved then too. The surrogate is searched from many
/// places by COBYLA (M. J. D. Powell 1994, NLopt's). The answer is always a solved point.
BestSearch find_best(const BestProblem &problem, const std::vector<Candidate> &sample);

/// The value of a number between limits that can be made: on its step, within the limits.
double on_step(const BestInput &input, double value);

} // namespace raybend
