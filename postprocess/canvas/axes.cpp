// A pair of axes on a page: from numbers to points, with ticks and words.
#include "postprocess/canvas/axes.hpp"
#include "postprocess/text/number_text.hpp"
#include <algorithm>
#include <cmath>
#include <tuple>

namespace raybend {

namespace {

/// Smallest of 1, 2, 2.5, 5, 10 times a power of ten that is not below `value`.
double round_step(double value) {
  const double power = std::pow(10, std::floor(std::log10(value)));
  for (double m : {1.0, 2.0, 2.5, 5.0})
    if (m * power >= value * (1 - 1e-12))
      return m * power;
  return 10 * power;
}

/// The part of a-b inside the band low..high of coordinate `k`; false if there is none.
bool cut(Point2 &a, Point2 &b, int k, double low, double high) {
  for (Point2 *p : {&a, &b}) {
    const Point2 &other = p == &a ? b : a;
    const double limit = (*p)[k] < low ? low : (*p)[k] > high ? high : (*p)[k];
    if (limit == (*p)[k])
      continue;
    if ((other[k] - limit) * ((*p)[k] - limit) >= 0)
      return false;
    const double t = (limit - (*p)[k]) / (other[k] - (*p)[k]);
    (*p)[1 - k] += t * (other[1 - k] - (*p)[1 - k]);
    (*p)[k] = limit;
  }
  return true;
}

} // namespace

std::string tick_text(double value, double step) {
  const int most = std::max(6, static_cast<int>(std::ceil(-std::log10(step))) + 2); // of small steps more
  const auto rounded = [&](const int digits) {
    const double scaled = step * std::pow(10, digits);
    return std::abs(scaled - std::round(scaled)) < 1e-6 * scaled;
  };
  int digits = 0;
  while (digits < most && !rounded(digits))
    ++digits;
  return fixed(value, digits);
}

std::vector<double> round_ticks(double low, double high, int wanted) {
  std::vector<double> ticks;
  if (!(high > low) || wanted < 1)
    return ticks;
  const double step = round_step((high - low) / wanted);
  for (double i = std::ceil(low / step - 1e-9); i * step <= high + 1e-9 * step; ++i)
    ticks.push_back(i * step);
  return ticks;
}

double round_up(double value) {
  if (!(value > 0) || !std::isfinite(value))
    return 1;
  const double step = round_step(value / 8);
  return step * std::ceil(value / step - 1e-9);
}

void Axes::curve(Painter &painter, const std::vector<Point2> &data, const Stroke &stroke) const {
  std::vector<Point2> run;
  auto finish = [&] {
    painter.polyline(run, stroke);
    run.clear();
  };
  for (std::size_t i = 0; i + 1 < data.size(); ++i) {
    Point2 a = data[i], b = data[i + 1];
    const bool finite = std::isfinite(a[0] + a[1] + b[0] + b[1]);
    if (!finite || !cut(a, b, 0, x_low, x_high) || !cut(a, b, 1, y_low, y_high)) {
      finish();
      continue;
    }
    if (run.empty() || a != data[i]) {
      finish();
      run.push_back({px(a[0]), py(a[1])});
    }
    run.push_back({px(b[0]), py(b[1])});
    if (b != data[i + 1])
      finish();
  }
  finish();
}

void Axes::horizontal_grid(Painter &painter, int wanted, double text_size) const {
  const std::vector<double> ticks = round_ticks(y_low, y_high, wanted);
  const double step = ticks.size() > 1 ? ticks[1] - ticks[0] : 1;
  for (double tick : ticks) {
    const bool zero = std::abs(tick) < 1e-9 * step;
    painter.line({x, py(tick)}, {x + w, py(tick)},
                 zero ? Stroke{{90, 90, 90}, 1, {}} : Stroke{{222, 222, 222}, 0.8, {}});
    painter.text({x - 6, py(tick)}, tick_text(tick, step), {text_size, Align::right});
  }
}

void Axes::x_ticks(Painter &painter, const std::vector<double> &ticks, double text_size) const {
  const double step = ticks.size() > 1 ? ticks[1] - ticks[0] : 1;
  for (double tick : ticks) {
    painter.line({px(tick), y}, {px(tick), y - 4}, {{60, 60, 60}, 1, {}});
    painter.text({px(tick), y - 6 - 0.6 * text_size}, tick_text(tick, step), {text_size, Align::centre});
  }
}

void Axes::frame(Painter &painter) const {
  painter.box(x, y, w, h, {}, Stroke{{60, 60, 60}, 1, {}});
}

namespace {

/// A colour bar's own frame: along it from the low end, and across it.
struct BarFrame {
  double x, y, length, thick;
  bool level;

  Point2 at(double along, double across) const {
    return level ? Point2{x + along, y + across} : Point2{x + across, y + along};
  }
};

/// The bar with its points and numbers; `room`: how far apart two numbers must stand along it.
void colour_bar(Painter &painter, const BarFrame &bar, double low, double high,
                const std::function<Colour(double)> &colour, double least, double largest, double room) {
  const Stroke edge{{60, 60, 60}, 1, {}};
  const double length = bar.length, thick = bar.thick;
  constexpr int bands = 128;
  for (int i = 0; i < bands; ++i) {
    const double from = length * i / bands, to = from + length / bands + (i + 1 < bands ? 0.5 : 0);
    painter.area({bar.at(from, 0), bar.at(from, thick), bar.at(to, thick), bar.at(to, 0)},
                 colour((i + 0.5) / bands));
  }
  painter.polyline({bar.at(0, 0), bar.at(0, thick), bar.at(length, thick), bar.at(length, 0), bar.at(0, 0)},
                   edge);
  const bool above = largest > high, below = least < low;
  const double point = 0.7 * thick;
  for (const auto &[beyond, end, tip, t] :
       {std::tuple(above, length, length + point, 1.0), std::tuple(below, 0.0, -point, 0.0)})
    if (beyond) {
      const std::vector<Point2> corners = {bar.at(end, 0), bar.at(tip, thick / 2), bar.at(end, thick)};
      painter.area(corners, colour(t));
      painter.polyline(corners, edge);
    }
  std::vector<double> ticks = round_ticks(low, high, std::min(8, static_cast<int>(length / room)));
  const double step = ticks.size() > 1 ? ticks[1] - ticks[0] : 1;
  for (const double end : {high, low}) { // each end gets a number, in place of a tick too near to it
    const auto near = [&](double tick) { return length * std::abs(tick - end) / (high - low) < room; };
    ticks.erase(std::remove_if(ticks.begin(), ticks.end(), near), ticks.end());
    ticks.push_back(end);
  }
  for (double tick : ticks) {
    const double at = length * (tick - low) / (high - low);
    const char *sign = above && tick == high ? "> " : below && tick == low ? "< " : "";
    const bool end = tick == high || tick == low;
    const std::string number = sign + tick_text(tick, end && tick != 0 ? std::abs(tick) : step);
    if (bar.level) {
      painter.line(bar.at(at, 0), bar.at(at, -4), edge);
      painter.text(bar.at(at, -13), number, {14, Align::centre});
    } else {
      painter.line(bar.at(at, thick), bar.at(at, thick + 4), edge);
      painter.text(bar.at(at, thick + 8), number, {14});
    }
  }
}

} // namespace

void colour_bar(Painter &painter, double x, double y, double w, double h, double low, double high,
                const std::function<Colour(double)> &colour) {
  colour_bar(painter, {x, y, h, w, false}, low, high, colour, low, high, 16);
}

void level_colour_bar(Painter &painter, double x, double y, double w, double h, double low, double high,
                      const std::function<Colour(double)> &colour, double least, double largest) {
  colour_bar(painter, {x, y, w, h, true}, low, high, colour, least, largest, 38);
}

} // namespace raybend
