// Lines, areas and words in a plane, drawn by VTK's 2D context.
#include "postprocess/canvas/painter.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cmath>
#include <vtkBrush.h>
#include <vtkContext2D.h>
#include <vtkPen.h>
#include <vtkTextProperty.h>

namespace raybend {

Painter::Painter(vtkContext2D *context_, double width, double height, double scale_)
    : context(context_), page_width(width), page_height(height), scale(scale_) {}

namespace {

std::array<unsigned char, 4> opaque(const Colour &c) {
  return {c.r, c.g, c.b, 255};
}

/// The drawn pieces of a dashed line.
std::vector<std::vector<Point2>> pieces(const std::vector<Point2> &points,
                                        const std::vector<double> &dashes) {
  std::vector<std::vector<Point2>> out;
  std::vector<Point2> piece = {points.front()};
  std::size_t dash = 0;
  double left = dashes[0];
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    Point2 a = points[i];
    const Point2 b = points[i + 1];
    double length = std::hypot(b[0] - a[0], b[1] - a[1]);
    while (length > left) {
      const double t = left / length;
      a = {a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])};
      length -= left;
      if (dash % 2 == 0) {
        piece.push_back(a);
        out.push_back(piece);
      }
      dash = (dash + 1) % dashes.size();
      left = dashes[dash];
      piece = {a};
    }
    left -= length;
    piece.push_back(b);
  }
  if (dash % 2 == 0 && piece.size() > 1)
    out.push_back(piece);
  return out;
}

/// A closed circle.
std::vector<Point2> circle(Point2 centre, double diameter) {
  std::vector<Point2> round;
  for (int i = 0; i <= 24; ++i)
    round.push_back(
        {centre[0] + diameter / 2 * std::cos(i * pi / 12), centre[1] + diameter / 2 * std::sin(i * pi / 12)});
  return round;
}

} // namespace

void Painter::line(Point2 a, Point2 b, const Stroke &stroke) {
  polyline({a, b}, stroke);
}

void Painter::polyline(const std::vector<Point2> &points, const Stroke &stroke) {
  if (points.size() < 2)
    return;
  context->GetPen()->SetColor(opaque(stroke.colour).data());
  context->GetPen()->SetLineType(vtkPen::SOLID_LINE);
  context->GetPen()->SetWidth(static_cast<float>(stroke.width * scale));
  auto draw = [&](const std::vector<Point2> &piece) {
    std::vector<float> flat;
    for (const Point2 &p : piece)
      for (double v : p)
        flat.push_back(static_cast<float>(v * scale));
    context->DrawPoly(flat.data(), static_cast<int>(piece.size()));
  };
  if (stroke.dashes.empty())
    draw(points);
  else
    for (const auto &piece : pieces(points, stroke.dashes))
      draw(piece);
}

void Painter::area(const std::vector<Point2> &corners, Colour fill) {
  std::vector<float> flat;
  for (const Point2 &p : corners)
    for (double v : p)
      flat.push_back(static_cast<float>(v * scale));
  context->GetPen()->SetLineType(vtkPen::NO_PEN);
  context->GetBrush()->SetColor(opaque(fill).data());
  context->DrawPolygon(flat.data(), static_cast<int>(corners.size()));
  context->GetPen()->SetLineType(vtkPen::SOLID_LINE);
}

void Painter::box(double x, double y, double w, double h, std::optional<Colour> fill,
                  std::optional<Stroke> edge) {
  if (fill)
    area({{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, *fill);
  if (edge)
    polyline({{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}, *edge);
}

void Painter::marker(Marker shape, Point2 c, double size, Colour colour) {
  const double h = size / 2;
  const std::vector<Point2> round = circle(c, size);
  switch (shape) {
  case Marker::disc:
    return area({round.begin(), round.end() - 1}, colour);
  case Marker::square:
    return box(c[0] - 0.85 * h, c[1] - 0.85 * h, 1.7 * h, 1.7 * h, colour, {});
  case Marker::triangle:
    return area({{c[0] - h, c[1] - 0.8 * h}, {c[0] + h, c[1] - 0.8 * h}, {c[0], c[1] + h}}, colour);
  case Marker::diamond:
    return area(
        {{c[0] - 1.1 * h, c[1]}, {c[0], c[1] - 1.1 * h}, {c[0] + 1.1 * h, c[1]}, {c[0], c[1] + 1.1 * h}},
        colour);
  case Marker::cross:
    line({c[0] - h, c[1] - h}, {c[0] + h, c[1] + h}, {colour, size / 4, {}});
    return line({c[0] - h, c[1] + h}, {c[0] + h, c[1] - h}, {colour, size / 4, {}});
  case Marker::ring:
    area({round.begin(), round.end() - 1}, {255, 255, 255});
    return polyline(round, {colour, size / 5, {}});
  }
}

void Painter::apply(const TextStyle &style) {
  vtkTextProperty *property = context->GetTextProp();
  property->SetFontFamilyToArial(); // built into VTK: the same letters on every machine
  property->SetFontSize(static_cast<int>(std::lround(style.size * scale)));
  property->SetBold(style.bold);
  property->SetOrientation(style.angle_deg);
  property->SetColor(style.colour.r / 255.0, style.colour.g / 255.0, style.colour.b / 255.0);
  property->SetVerticalJustificationToCentered();
  switch (style.align) {
  case Align::left:
    return property->SetJustificationToLeft();
  case Align::centre:
    return property->SetJustificationToCentered();
  case Align::right:
    return property->SetJustificationToRight();
  }
}

void Painter::text(Point2 at, const std::string &words, const TextStyle &style) {
  if (words.empty())
    return;
  float bounds[4] = {0, 0, 0, 0};
  measure(words, style, bounds);
  const double w = bounds[2] / scale, h = bounds[3] / scale;
  const double before = style.align == Align::left ? 0 : style.align == Align::centre ? w / 2 : w;
  if (style.angle_deg == 0)
    drawn.push_back({words, at[0] - before, at[1] - h / 2, w, h});
  else
    drawn.push_back({words, at[0] - h / 2, at[1] - before, h, w});
  apply(style);
  context->DrawString(static_cast<float>(at[0] * scale), static_cast<float>(at[1] * scale), words.c_str());
}

void Painter::measure(const std::string &words, const TextStyle &style, float bounds[4]) {
  TextStyle level = style;
  level.angle_deg = 0;
  apply(level);
  context->ComputeStringBounds(words.c_str(), bounds);
}

double Painter::text_width(const std::string &words, const TextStyle &style) {
  float bounds[4] = {0, 0, 0, 0};
  measure(words, style, bounds);
  return bounds[2] / scale;
}

namespace {

/// Where the characters of a UTF-8 text begin, and its end.
std::vector<std::size_t> character_starts(const std::string &text) {
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < text.size(); ++i)
    if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80)
      starts.push_back(i);
  starts.push_back(text.size());
  return starts;
}

/// The words with as few characters as needed left out of their middle, so that `fits` is met: names that
/// differ do so at either end.
template <typename Fits> std::string without_middle(const std::string &words, const Fits &fits) {
  if (fits(words))
    return words;
  const std::vector<std::size_t> starts = character_starts(words);
  const std::size_t n = starts.size() - 1;
  const auto keeping = [&](std::size_t kept) {
    const std::size_t head = kept - kept / 2, tail = kept / 2;
    return words.substr(0, starts[head]) + "..." + words.substr(starts[n - tail]);
  };
  std::size_t fitting = 0, too_many = n;
  while (fitting + 1 < too_many) {
    const std::size_t middle = (fitting + too_many) / 2;
    (fits(keeping(middle)) ? fitting : too_many) = middle;
  }
  const std::string broken = keeping(fitting);
  // Rather whole words, where that costs little.
  const std::size_t cut = starts[fitting - fitting / 2], rest = starts[n - fitting / 2];
  const std::size_t head = words.rfind(' ', cut), tail = words.find(' ', rest == 0 ? 0 : rest - 1);
  constexpr std::size_t little = 12;
  if (head != std::string::npos && tail != std::string::npos && cut - head <= little &&
      tail + 1 - rest <= little)
    if (const std::string whole = words.substr(0, head) + " ..." + words.substr(tail); fits(whole))
      return whole;
  return broken;
}

} // namespace

std::string Painter::fitted(const std::string &words, double room, const TextStyle &style) {
  return without_middle(words, [&](const std::string &text) { return text_width(text, style) <= room; });
}

std::vector<std::string> Painter::lines(const std::string &words, double room, std::size_t most,
                                        const TextStyle &style) {
  std::vector<std::string> out;
  const auto wrap = [&](const std::string &text) {
    out.clear();
    std::string rest = text;
    while (!rest.empty()) {
      std::size_t end = rest.size();
      while (end != std::string::npos && end > 0 && text_width(rest.substr(0, end), style) > room)
        end = rest.rfind(' ', end - 1);
      const bool a_word_follows = end != std::string::npos && end < rest.size();
      if (end == std::string::npos || end == 0 ||
          (a_word_follows &&
           text_width(rest.substr(end + 1, rest.find(' ', end + 1) - end - 1), style) > room)) {
        // A word too long for any line: as much of it as fits on this one.
        const std::vector<std::size_t> starts = character_starts(rest);
        std::size_t k = 1;
        while (k + 1 < starts.size() && text_width(rest.substr(0, starts[k + 1]), style) <= room)
          ++k;
        end = starts[k];
      }
      out.push_back(rest.substr(0, end));
      rest.erase(0, end < rest.size() && rest[end] == ' ' ? end + 1 : end);
      if (out.size() == most)
        return rest.empty();
    }
    return true;
  };
  wrap(without_middle(words, wrap));
  return out;
}

void Painter::title(Point2 at, const std::string &words, double room) {
  TextStyle style{19, Align::left, {20, 20, 20}, true};
  while (style.size > 14 && text_width(words, style) > room)
    style.size -= 1;
  text(at, fitted(words, room, style), style);
}

Marker design_marker(std::size_t i) {
  static constexpr std::array<Marker, 6> markers = {Marker::disc,    Marker::square, Marker::triangle,
                                                    Marker::diamond, Marker::cross,  Marker::ring};
  return markers[i % markers.size()];
}

std::vector<double> design_dashes(std::size_t i) {
  static const std::array<std::vector<double>, 6> dashes = {
      {{}, {9, 4}, {3, 3}, {9, 3, 2, 3}, {14, 4}, {6, 3, 2, 3, 2, 3}}};
  return dashes[i % dashes.size()];
}

} // namespace raybend
