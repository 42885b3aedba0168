// The whole day in words: which design uses the painful ray least, whether the exponent matters, what does
// the damage.
#pragma once
#include "postprocess/compare/day.hpp"
#include "postprocess/words/answer.hpp"
#include <functional>
#include <string>
#include <vector>

namespace raybend {

Answer day_answer(const DayInput &input, const DayRanking &ranking);

/// What stands for a design, by its place in the case.
using DesignWords = std::function<std::string(std::size_t)>;

/// One sentence: does the order of the designs depend on the exponent? With titles in quotes where `words` is
/// empty.
std::string order_words(const DayInput &input, const DayRanking &ranking, const DesignWords &words = {});

/// The case's own warnings, solves that failed or do not balance, designs that the mesh cannot tell apart
/// over the day.
std::vector<std::string> day_warnings(const DayInput &input, const DayRanking &ranking);

/// Why an activity adds no load cycles: "0 hours" or "no steps"; "" if it adds some.
std::string idle_words(const DayActivity &activity);

/// "m = 5.3", "m = 5.3 and 6.6", "all four exponents"
std::string exponent_words(const std::vector<std::size_t> &laws);

/// One design against another at each exponent, percent_change of their strains.
std::array<Banded, n_laws> percent_changes(const DayStrain &now, const DayStrain &before);

std::array<double, n_laws> values_of(const std::array<Banded, n_laws> &numbers);
double largest_band(const std::array<Banded, n_laws> &numbers);

/// Least to largest of four numbers: "12 to 14", or one number where they look alike. An infinite one: "-".
std::string range_words(const std::array<double, n_laws> &values, int digits = 0);

/// "2.13 (2.04 to 2.22)": three digits or so.
std::string life_words(const LifeRatio &ratio);

/// What a life ratio is and is not.
extern const char *const life_caution;

} // namespace raybend
