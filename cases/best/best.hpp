// What a search for the best design asks.
#pragma once
#include "cases/forefoot/case.hpp"
#include "cases/study/study.hpp"
#include "postprocess/best/candidate.hpp"
#include "postprocess/compare/day.hpp"

namespace raybend {

/// An output that may not become too large, of every ray named, in every activity. Magnitudes count.
struct Cap {
  std::string output;
  std::vector<int> rays;
  std::optional<double> at_most;            ///< in the output's unit; else
  std::optional<double> over_reference_pct; ///< so many per cent over the reference's own value there
};

/// What stands for an uncertain aim (and each cap): its mean over the draws, or the value that four fifths of them stay below.
enum class Doubt { none, mean, percentile_80 };
const std::vector<std::string> &doubt_names(); ///< in the order of Doubt

struct Best {
  /// Its inputs: those to be chosen, then the uncertain ones; its designs: the reference, then the one to be improved. Its plan's points are
  /// made by best_points.
  Study study;
  Case base;                     ///< with the file's own changes
  std::string design;            ///< to be improved
  std::size_t chosen = 0;        ///< inputs of the study that are to be chosen
  std::vector<BestInput> inputs; ///< these
  std::vector<Cap> caps;
  Doubt doubt = Doubt::none;
  std::size_t draws = 1;
  std::size_t law = one_law; ///< of fatigue_laws, for a day of several activities
  double tolerance_pct = 2;
  int rounds = 10;

  bool is_day() const { return base.day.size() > 1; }
};

/// "head pressure peak of ray 1 at most 300 kPa"
std::string cap_words(const Cap &cap, int ray);

} // namespace raybend
