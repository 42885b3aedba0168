// From the runs in a store to what the search is about: aim, caps, pressure.
#pragma once
#include "cases/best/best.hpp"
#include "cases/study/store.hpp"
#include <array>
#include <map>

namespace raybend {

/// One number of a ray over all draws: its mean, or the value that four fifths of them stay below (linear between
/// ranks). Throws std::invalid_argument without draws.
double over_draws(std::vector<double> values, Doubt doubt);

/// What the store has of one design at one choice of inputs.
struct DesignValues {
  bool solved = false; ///< at every draw and in every activity
  std::string why_not;
  std::array<double, 4> aims{}; ///< ue, of each fatigue law; of one activity its peak strain, four times
  std::vector<double> use;      ///< of each cap's rays in turn, then of the heads: over 1 they hang
  double other_pressure = 0;    ///< kPa, largest peak under a head of another ray than the painful one
  std::array<double, 5> strain{}, pressure{}; ///< of each ray, the largest of all activities
};

/// Reads the store once.
class BestValues {
public:
  BestValues(const Best &best, StudyStore &store);

  /// Of the candidate at place `number` (from 0): its draws are the points number * draws + 1 and on.
  DesignValues candidate(std::size_t number) const { return of(number, best_.design); }
  /// The reference is solved at the first candidate's points alone.
  DesignValues reference() const { return of(0, best_.base.reference); }

private:
  using Rays = std::array<std::vector<double>, 5>; ///< columns of each ray

  DesignValues of(std::size_t number, const std::string &design) const;

  const Best &best_;
  std::vector<std::string> columns_;
  std::map<RunName, Rays> runs_;
  std::map<RunName, std::string> reasons_;
};

/// The labels of DesignValues::use.
std::vector<std::string> use_labels(const Best &best);

} // namespace raybend
