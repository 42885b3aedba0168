// The colours of charts and maps, safe for colour-blind readers and for grey printers.
#pragma once
#include <array>
#include <cstddef>

namespace raybend {

struct Colour {
  unsigned char r = 0, g = 0, b = 0;
};

/// CIE lightness L* (0 black .. 100 white) of an sRGB colour, D65.
double lightness(const Colour &c);

/// Perceptually uniform scale for quantities from zero upwards, t = 0..1 (clamped), dark to light in print
/// too.
Colour sequential_colour(double t);

/// Scale for signed quantities, t = -1..1 (clamped): blue over near-white (0) to orange-brown. Lightness
/// falls linearly and by the same amount on both sides.
Colour diverging_colour(double t);

/// Colour of design number i: the six differ in lightness by at least 10, whatever the hue. Repeats after
/// six.
Colour design_colour(std::size_t i);

} // namespace raybend
