// All that the words, tables and pictures of a search for the best design show.
#pragma once
#include "postprocess/best/flat.hpp"
#include <array>

namespace raybend {

/// One design's numbers; those of a ray are the largest of all activities.
struct BestNumbers {
  bool known = false;
  double aim = 0, pressure = 0; ///< ue; kPa under the worst head of another ray than the painful one
  std::array<double, 5> ray_strain{}, ray_pressure{};
  std::array<double, 4> aims{}; ///< of a day, for each fatigue exponent
};

struct BestReport {
  std::string title, case_title, note;
  std::string design, reference;
  std::string aim_words;   ///< "peak strain of ray 2", without its unit
  std::string doubt_words; ///< how draws are taken together; "" without draws
  int painful = 1;
  bool coarse = false, day = false;
  double exponent = 0;                   ///< of a day
  std::array<double, 4> exponents{};     ///< all of them
  std::array<std::size_t, 4> least_at{}; ///< the candidate with the least aim at each
  std::vector<std::string> caps;         ///< labels of Candidate::use
  std::vector<std::string> sets;         ///< changes of the case, as --set takes them
  std::string case_file;                 ///< the winning design's; "" if none was written
  std::string winner;                    ///< its name in there
  std::vector<std::string> warnings;     ///< of the winning design, as `raybend check` has them
  std::size_t runs = 0, failed = 0;
  BestNumbers at_reference, stands, won; ///< `stands`: the design as it is in the case
};

/// The aim over two inputs, the others as in the best design.
struct BestMap {
  std::size_t x_input = 0, y_input = 0;
  std::vector<double> x, y;     ///< middles of the cells
  std::vector<double> aim, use; ///< [iy * x.size() + ix]; use: of the worst cap
};

/// What follows from the models.
struct BestAnalysis {
  std::optional<std::size_t> shown; ///< the best candidate or, where none is within the caps, the nearest
  std::vector<FlatRange> flat;
  std::optional<BestMap>
      map; ///< where two numbers between limits are chosen: place and height, if they are among them
  std::vector<std::size_t>
      front; ///< candidates within all caps or, where none is, those whose heads bear their part; by aim
  double missed = 0;                                 ///< ue, missed_when_left_out of the aim
  std::vector<std::array<double, 2>> foretold_front; ///< aim and pressure by the surrogate
};
BestAnalysis analyse_best(const BestProblem &problem, const BestSearch &search);

/// "behind heads 4.2 mm and height 6 mm"
std::string place_words(const std::vector<BestInput> &inputs, const std::vector<double> &x);
/// One input's value with its unit: "4.2 mm".
std::string value_words(const BestInput &input, double value);
/// "behind heads"
std::string name_words(const BestInput &input);

} // namespace raybend
