// A pair of axes on a page: from numbers to points, with ticks and words.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include <functional>
#include <string>
#include <vector>

namespace raybend {

/// Ticks at 1, 2, 2.5 or 5 times a power of ten, about `wanted` of them, all within [low, high].
std::vector<double> round_ticks(double low, double high, int wanted);

/// The smallest such step multiple at or above `value` (> 0), for the end of a scale.
double round_up(double value);

/// A tick's number with the digits that its step needs.
std::string tick_text(double value, double step);

struct Axes {
  double x = 0, y = 0, w = 0, h = 0;                   ///< the frame on the page
  double x_low = 0, x_high = 1, y_low = 0, y_high = 1; ///< what it shows

  double px(double value) const { return x + w * (value - x_low) / (x_high - x_low); }
  double py(double value) const { return y + h * (value - y_low) / (y_high - y_low); }

  /// A curve through the data, cut at the frame.
  void curve(Painter &painter, const std::vector<Point2> &data, const Stroke &stroke) const;
  /// Horizontal lines and numbers at the ticks of y; a stronger line at zero.
  void horizontal_grid(Painter &painter, int ticks, double text_size) const;
  /// Ticks and numbers below.
  void x_ticks(Painter &painter, const std::vector<double> &ticks, double text_size) const;
  void frame(Painter &painter) const;
};

/// Colour bar standing at (x, y), numbers to its right, at both ends too. `colour` takes 0..1 from bottom to top.
void colour_bar(Painter &painter, double x, double y, double w, double h, double low, double high,
                const std::function<Colour(double)> &colour);

/// The same lying, from left to right, numbers below. `least` and `largest` are the values shown: where one lies beyond
/// the bar, a point in the end's colour and "> " or "< " before the end's number say so.
void level_colour_bar(Painter &painter, double x, double y, double w, double h, double low, double high,
                      const std::function<Colour(double)> &colour, double least, double largest);

} // namespace raybend
