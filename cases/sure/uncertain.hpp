// Which numbers of a case nobody measured, and how far each may lie from what the case has.
#pragma once
#include "cases/forefoot/case.hpp"
#include "postprocess/sure/foot_sample.hpp"
#include <functional>
#include <vector>

namespace raybend {

/// A number and how a case takes another value of it.
struct Uncertain {
  UncertainNumber number;
  std::function<void(Case &, double z)> move; ///< by that many standard deviations
};

/// Spreads are the catalogue's (CatalogueRow::deviation). What is positive and known by a factor moves as exp(z deviation /
/// value), all else by z deviation, kept within what its key allows.
std::vector<Uncertain> uncertain_numbers(const Case &c);

/// The case with every number moved; `z` one a number. The line of the force follows the moved foot, the rise of the arch the
/// metatarsals' bases.
Case moved_case(const Case &c, const std::vector<Uncertain> &numbers, const std::vector<double> &z);

/// False where numbers that were moved each for itself make no foot: bones touch, or a base reaches through the sole's skin.
bool is_foot(const Case &c);

} // namespace raybend
