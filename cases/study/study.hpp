// What a study asks.
#pragma once
#include "cases/study/plan/marginal.hpp"
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace raybend {

struct CatalogueRow;

enum class PlanKind { grid, one_at_a_time, latin_hypercube, sobol };
const std::vector<std::string> &plan_names(); ///< in the order of PlanKind

/// One input. All its keys take the same value.
struct Varied {
  std::string name;              ///< of its column; ends in its unit, as keys do
  std::vector<std::string> keys; ///< concrete ones: designs[3].support[1].height_mm
  Marginal marginal;
  const CatalogueRow *row = nullptr; ///< of its first key
};

/// Wanted rank correlation of two inputs (places in Study::inputs).
struct Correlated {
  std::size_t a = 0, b = 0;
  double rank = 0;
};

struct Study {
  std::string path, text; ///< of the study's file
  std::string title;
  std::string case_path, case_text;
  std::vector<std::string> sets;    ///< changes of the case at every point, as --set takes them
  std::vector<std::string> designs; ///< that are solved
  PlanKind plan = PlanKind::grid;
  std::size_t points = 0; ///< of a sample
  std::uint64_t seed = 0;
  std::vector<Varied> inputs;
  std::vector<Correlated> correlations;
  std::vector<std::string> outputs; ///< columns that are drawn and explained
  std::vector<int> rays;            ///< of these rays
};

/// One point of the plan: a value of each input (of words, their place).
using StudyPoint = std::vector<double>;

/// What a point changes, as --set takes it, behind the study's own changes.
std::vector<std::string> sets_of(const Study &study, const StudyPoint &point);

} // namespace raybend
