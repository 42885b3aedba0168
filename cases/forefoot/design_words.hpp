// What a design is made of, in words.
#pragma once
#include "geometry/insole.hpp"
#include <string>
#include <vector>

namespace raybend {

/// "pad under ray 2: 45 x 38 x 6 mm high, edge 8 mm behind its head, eva-35 (E 2 MPa)"
std::string support_words(const SupportElement &element);

/// "flat", "moulded", "between flat and moulded"
std::string fit_words(double fit);

/// "2 MPa": E with as many digits as are known of it.
std::string modulus_words(const InsoleMaterial &material);

/// " on filler foam (E 0.6 MPa, assumed)" of a moulded shell, "" of other layers.
std::string filler_words(const Design &design, const Layer &layer);

/// ", from the proximal end to 20 mm behind the heads"; "" of a layer under the whole foot.
std::string extent_words(const Layer &layer);

/// Its fit, each layer from the ground up, each support element, its shoe: "base 5 mm eva-35 (E 2 MPa)".
std::vector<std::string> design_words(const Design &design);

} // namespace raybend
