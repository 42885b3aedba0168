// A day of several activities: how much one bone is used by all of them together.
//
// Every step of activity i bends the painful ray to a peak strain eps_i; one foot makes n_i such steps a day.
// The laws of bone fatigue say that a bone lasts N = C / eps^m cycles, so the day uses up sum n_i / N_i of
// its life (the sum of Palmgren and Miner). The day-equivalent strain does the same when every step has it:
//     eps_day = (sum n_i eps_i^m / sum n_i)^(1/m).
// C drops out, so that designs can be compared. m is not well known: everything is said for four published
// values.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <array>

namespace raybend {

struct FatigueLaw {
  double exponent;    ///< m
  const char *source; ///< what was measured, by whom, and how the number is known
};
constexpr std::size_t n_laws = 4;
extern const std::array<FatigueLaw, n_laws> fatigue_laws; ///< exponents rise
constexpr std::size_t one_law =
    1; ///< place of that which is taken where one has to be (chosen: measured for running)

/// One ReportInput an activity: the same foot, designs and reference, other loads and results.
struct DayInput {
  std::vector<ReportInput> activities;

  const ReportInput &common() const { return activities.front(); }
  double cycles() const; ///< of one foot in the whole day
};

/// Throws std::invalid_argument if the parts do not belong together or the day has no cycles.
void check_day(const DayInput &input);

/// eps_day of strains with `cycles` each; strains are magnitudes. The bands are taken as fully correlated:
/// all strains at their upper ends, or all at their lower ones, the further of the two counts. The coarser
/// value is that of the coarser values of all. Activities without cycles do not count.
Banded equivalent_strain(const std::vector<Banded> &strains, const std::vector<double> &cycles,
                         double exponent);

/// n_i eps_i^m in parts of their sum.
std::vector<double> damage_shares(const std::vector<double> &strains, const std::vector<double> &cycles,
                                  double exponent);

/// The spot of a bone that a day damages most, as every spot has its own range of strain in each activity.
struct WorstSpot {
  /// (sum n_i range_i^m / sum n_i)^(1/m) of it over that of the peaks, which stand at other spots in every activity. Below 1 where
  /// peaks do not meet, above it where a spot is pressed and stretched in one step; 1 if ranges are not known.
  double factor = 1;
  std::vector<double> ranges;       ///< ue, one an activity; the peaks if not known
  double fraction = 0, towards = 0; ///< place as of a peak
};
/// `rays`: the same ray of each activity. Activities without cycles do not count.
WorstSpot worst_spot(const std::vector<const RayResult *> &rays, const std::vector<double> &cycles,
                     double exponent);

/// A ratio with the range that its bands leave open.
struct LifeRatio {
  double value = 0, low = 0, high = 0;
};

/// (reference / strain)^m: how many times as many days until the same damage sum. Where both know their
/// coarser value, the range is by how many times the ratio changed from that mesh to this one, up and down
/// (at least by as much as least_band of a strain makes); of the coarse mesh by pair_part of a strain; otherwise what both bands allow. A strain against
/// itself: 1 without a range.
LifeRatio life_ratio(const Banded &reference, const Banded &strain, double exponent);

/// A ray over the day, under one insole: equivalent_strain of the peaks times the factor of its worst spot, which the mesh is taken
/// to leave alone.
struct DayStrain {
  bool known = false; ///< converged in every activity that adds load cycles
  std::array<Banded, n_laws> strain;
  std::array<WorstSpot, n_laws> spot;
  std::array<std::vector<double>, n_laws> share; ///< of the damage sum, one an activity
};
DayStrain day_strain(const DayInput &input, std::size_t place, bool with_support, int ray);

struct DayDesign {
  std::size_t place = 0; ///< in `outcomes` of every activity
  DayStrain with, without;
  int best_rank = 0,
      worst_rank = 0; ///< over all exponents, and with ReportInput::sure nine in ten of its places
  std::array<OpenRank, n_laws> rank; ///< its not_told_apart: places of designs
};

/// Two designs whose order is not the same at all exponents.
struct Crossing {
  std::size_t first, second; ///< places; `first` is better at the smallest exponent
  bool told_apart = false;   ///< each is told to be better at one exponent at least
};

struct DayRanking {
  std::vector<DayDesign> designs; ///< by the mean of their places at the four exponents; unknown ones last
  std::vector<Crossing> crossings;

  const DayDesign &of(std::size_t place) const; ///< throws std::out_of_range
};

DayRanking rank_day(const DayInput &input);
/// The same by another ray, 1..5, of which `ReportInput::sure` says nothing.
DayRanking rank_day_by(const DayInput &input, int ray);

} // namespace raybend
