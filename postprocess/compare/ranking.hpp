// Which design leaves least strain in the painful ray, what is certain about the order, and where the load
// went.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <optional>
#include <string>

namespace raybend {

/// a against b in percent of b, 100 (a/b - 1). Where both know their coarser value, the band is how much that
/// percentage changed from the coarser mesh to this one (Roache's index for two grids with p = 2, applied to
/// the difference: the designs share meshes and foot, so most of their discretisation error cancels; 0.5 at
/// least). Where both are of the coarse mesh, it is the part by which such ratios were seen to change (Banded::pair_part). Otherwise the
/// sum of both bands in percent of b, so that it holds zero exactly
/// where `told_apart` says no. NaN if b is zero.
Banded percent_change(const Banded &a, const Banded &b);

/// True if the difference is larger than its band: |a - b| against its change from the coarser mesh (at least
/// `least_band` of the larger of |a| and |b|) where both know their coarser value, of the coarse mesh against `pair_part` of the
/// smaller one, otherwise against the sum
/// of the two bands. The same for (b, a).
bool told_apart(const Banded &a, const Banded &b);

/// What the bands leave open of a value's rank; 1 is the least value.
struct OpenRank {
  int best = 1, worst = 1;
  std::vector<std::size_t> not_told_apart; ///< places in the list
};

/// One for each value.
std::vector<OpenRank> open_ranks(const std::vector<Banded> &values);

constexpr double least_band = 0.005; ///< of a value: two meshes can agree by chance (assumed)

enum class LoadKind {
  ray_strain,     ///< ue
  head_pressure,  ///< kPa, peak as a sensor shows it
  shaft_pressure, ///< kPa, the same
  head_force,     ///< N
  shaft_force,    ///< N; no band is known of it
  toe_force       ///< N, the same
};

/// A place that carries more than before, or less.
struct LoadShift {
  LoadKind kind = LoadKind::ray_strain;
  int ray = 0; ///< 1..5
  double before = 0, after = 0;
  double percent = 0;              ///< NaN if before is zero
  std::optional<bool> beyond_band; ///< empty: no band is known
};

/// One design against another (reference, or the same insole without its support elements).
struct Difference {
  Banded percent; ///< of the painful ray's peak strain
  bool told_apart = false;
  std::vector<LoadShift> shifts;  ///< rises: strain of the other rays, forces and pressures of all
  std::vector<LoadShift> reliefs; ///< falls of the same
};

struct RankedDesign {
  std::size_t place = 0; ///< in ReportInput::outcomes
  bool ranked = false;
  std::string why_not; ///< a few words; empty if it is ranked
  Banded strain;       ///< ue, painful ray
  /// Ranks the bands leave open, 1 is least strain; with ReportInput::sure nine in ten of its places too.
  int best_rank = 0, worst_rank = 0;
  std::vector<std::size_t> not_told_apart;    ///< places of the designs that may be as good or as bad
  std::optional<Difference> from_reference;   ///< empty for the reference itself or if one did not converge
  std::optional<Difference> from_unsupported; ///< empty without support elements or if one did not converge
};

/// Changes that count as "the load went there" or "it is relieved", percent; and what must be exceeded before
/// or after for a change to be of interest (N, kPa). Chosen, no source.
constexpr double notable_change_percent = 5, felt_force = 2, felt_pressure = 5;

/// Force that the five rays' heads and shafts bear, N.
struct BorneForce {
  double heads = 0, shafts = 0;
};
BorneForce borne_force(const DesignResult &result);

/// Part of what heads and shafts bear below which the heads hang (assumed).
constexpr double least_head_share = 0.1;
/// True where the heads bear next to nothing of what heads and shafts bear: the insole holds the foot up behind them.
bool heads_hang(const DesignResult &result);

/// Widens a design's open ranks to nine in ten of its places over the feet that the patient may have. `sure` has its chances.
void widen_ranks(const Sureness &sure, std::size_t place, int &best, int &worst);

/// Ends of nine in ten over patient, model and mesh of a design's strain, where ReportInput::sure compares it with the reference;
/// `reference`: the reference's strain.
std::optional<std::array<double, 2>> whole_doubt(const ReportInput &input, std::size_t place,
                                                 double reference);

/// Least strain first, designs that did not converge or whose heads hang last in the order of the case. Equal strains keep the
/// order of the case. Throws std::invalid_argument as reference_place does, or if the ray is not 1..5.
std::vector<RankedDesign> rank_designs(const ReportInput &input);
/// The same by another ray, 1..5, of which `ReportInput::sure` says nothing.
std::vector<RankedDesign> rank_designs_by(const ReportInput &input, int ray);

} // namespace raybend
