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

/// A layer that loses more of its thickness than this under peak_over_mean times the mean pressure is told. From twenty trials at standard
/// resolution (flat and moulded, foams of 0.3 to 1 MPa, 3 to 14 mm in base and cover, 60 to 120 kg, walking, carrying, stairs and
/// running): eleven that lost up to 0.70 reached the full load (one of them, 120 kg running, with a bone strained beyond what bone
/// bears, which is refused), of nine that lost 0.71 to 0.78 three stopped at 58 to 92 % of it.
constexpr double largest_lost_part = 0.7;

/// Why this insole is likely pressed beyond what the solver follows under this activity; "" if it is not.
std::string softness_words(const Forefoot &foot, const Activity &activity, const Design &design);

} // namespace raybend
