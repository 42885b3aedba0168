// Insoles too soft for their load, told before anything is solved.
#pragma once
#include "cases/forefoot/case.hpp"
#include <string>

namespace raybend {

/// Part of its thickness that a layer loses under a pressure (MPa), held at its sides: 1 - s, where s is the
/// stretch at which the nominal stress of the layer's own law, P = (F S)_33 with F = diag(1, 1, s), is minus
/// that pressure. 0 <= part < 1.
double lost_part(const InsoleMaterial &material, double pressure);

/// Pressure under the forefoot, MPa: its part of the vertical force over a loaded area of forefoot width
/// times a sixth of foot length. At push-off the model's own area is 0.95 to 1.15 times that.
double mean_pressure(const Forefoot &foot, const Activity &activity);

/// What the most loaded point under a head sees of it; the model: 2.5 to 5 times on soft flat insoles.
constexpr double peak_over_mean = 4;

/// A layer that loses more of its thickness than this under peak_over_mean times the mean pressure is told. From twelve trials at standard
/// resolution (flat foams of 0.3 to 1 MPa, 7 to 14 mm in base and cover, 61 to 120 kg, walking and running): three that lost
/// up to 0.60 were solved, of nine that lost 0.62 to 0.79 eight stopped short of the full load. At coarse resolution seven of
/// seven were solved, up to a loss of 0.79, one of them with the tissue pressed to nothing.
constexpr double largest_lost_part = 0.6;

/// Why this insole is likely pressed beyond what the solver follows under this activity; "" if it is not.
std::string softness_words(const Forefoot &foot, const Activity &activity, const Design &design);

} // namespace raybend
