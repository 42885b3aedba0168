// The colours of charts and maps, safe for colour-blind readers and for grey printers.
#include "postprocess/canvas/colours.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

Colour mix(const Colour &a, const Colour &b, double t) {
  auto channel = [t](unsigned char from, unsigned char to) {
    return static_cast<unsigned char>(std::lround(from + t * (to - from)));
  };
  return {channel(a.r, b.r), channel(a.g, b.g), channel(a.b, b.b)};
}

// Ten even samples of the scale "viridis" by S. van der Walt and N. Smith (2015, placed in the public domain,
// CC0).
constexpr std::array<Colour, 10> sequential = {{{0x44, 0x01, 0x54},
                                                {0x48, 0x28, 0x78},
                                                {0x3E, 0x4A, 0x89},
                                                {0x31, 0x68, 0x8E},
                                                {0x26, 0x82, 0x8E},
                                                {0x1F, 0x9E, 0x89},
                                                {0x35, 0xB7, 0x79},
                                                {0x6D, 0xCD, 0x59},
                                                {0xB4, 0xDE, 0x2C},
                                                {0xFD, 0xE7, 0x25}}};

// Halves of two diverging schemes of C. Brewer (ColorBrewer 2.0, 2003): the blues of RdBu, the oranges of
// PuOr, from the common near-white outwards.
constexpr std::array<Colour, 6> blues = {{{0xF7, 0xF7, 0xF7},
                                          {0xD1, 0xE5, 0xF0},
                                          {0x92, 0xC5, 0xDE},
                                          {0x43, 0x93, 0xC3},
                                          {0x21, 0x66, 0xAC},
                                          {0x05, 0x30, 0x61}}};
constexpr std::array<Colour, 6> oranges = {{{0xF7, 0xF7, 0xF7},
                                            {0xFE, 0xE0, 0xB6},
                                            {0xFD, 0xB8, 0x63},
                                            {0xE0, 0x82, 0x14},
                                            {0xB3, 0x58, 0x06},
                                            {0x7F, 0x3B, 0x08}}};
constexpr double darkest = 35; // L* at both ends: the lighter of the two schemes' ends, rounded up

} // namespace

double lightness(const Colour &c) {
  auto linear = [](unsigned char v) {
    const double s = v / 255.0;
    return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
  };
  const double y = 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
  return y > 216.0 / 24389.0 ? 116 * std::cbrt(y) - 16 : y * 24389.0 / 27.0;
}

Colour sequential_colour(double t) {
  const double place = std::clamp(t, 0.0, 1.0) * (sequential.size() - 1);
  const std::size_t i = std::min<std::size_t>(static_cast<std::size_t>(place), sequential.size() - 2);
  return mix(sequential[i], sequential[i + 1], place - i);
}

Colour diverging_colour(double t) {
  const auto &points = t < 0 ? blues : oranges;
  const double white = lightness(points.front());
  const double wanted = white + std::min(std::abs(t), 1.0) * (darkest - white);
  std::size_t i = 0;
  while (i + 2 < points.size() && lightness(points[i + 1]) > wanted)
    ++i;
  double low = 0, high = 1; // lightness falls from points[i] to points[i + 1]
  for (int step = 0; step < 20; ++step) {
    const double middle = (low + high) / 2;
    (lightness(mix(points[i], points[i + 1], middle)) > wanted ? low : high) = middle;
  }
  return mix(points[i], points[i + 1], high);
}

Colour design_colour(std::size_t i) {
  // Hues after M. Okabe and K. Ito (Color Universal Design, 2008), lightened or darkened until grey prints
  // tell them apart: L* 0, 53, 30, 66, 42, 78.
  static constexpr std::array<Colour, 6> colours = {{{0x00, 0x00, 0x00},
                                                     {0xD5, 0x5E, 0x00},
                                                     {0x00, 0x48, 0x7A},
                                                     {0x3F, 0xA7, 0xDE},
                                                     {0x00, 0x70, 0x50},
                                                     {0xF0, 0xB9, 0x2E}}};
  return colours[i % colours.size()];
}

} // namespace raybend
