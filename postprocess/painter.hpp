// Lines, areas and words in a plane, drawn by VTK's 2D context. Coordinates are picture points from the lower
// left; `scale` pixels make a point.
#pragma once
#include "postprocess/colours.hpp"
#include <array>
#include <optional>
#include <string>
#include <vector>

class vtkContext2D;

namespace raybend {

using Point2 = std::array<double, 2>;

enum class Align { left, centre, right };
enum class Marker { disc, square, triangle, diamond, cross, ring };

struct Stroke {
  Colour colour;
  double width = 1;
  std::vector<double> dashes; ///< lengths of line and gap in turn; empty: solid
};

struct TextStyle {
  double size = 12;
  Align align = Align::left;
  Colour colour = {30, 30, 30};
  bool bold = false;
  double angle_deg = 0;
};

class Painter {
public:
  Painter(vtkContext2D *context, double width, double height, double scale);

  double width() const { return page_width; }
  double height() const { return page_height; }

  void line(Point2 a, Point2 b, const Stroke &stroke);
  void polyline(const std::vector<Point2> &points, const Stroke &stroke);
  void area(const std::vector<Point2> &corners, Colour fill); ///< convex
  void box(double x, double y, double w, double h, std::optional<Colour> fill, std::optional<Stroke> edge);
  void marker(Marker shape, Point2 centre, double size, Colour colour);
  /// Vertically centred on `at`.
  void text(Point2 at, const std::string &words, const TextStyle &style = {});
  double text_width(const std::string &words, const TextStyle &style);
  /// The words, shortened with "..." until they are at most `room` wide.
  std::string fitted(const std::string &words, double room, const TextStyle &style);
  /// The words in at most `most` lines broken at blanks, the last shortened like `fitted`.
  std::vector<std::string> lines(const std::string &words, double room, std::size_t most,
                                 const TextStyle &style);

private:
  void apply(const TextStyle &style);

  vtkContext2D *context;
  double page_width, page_height, scale;
};

/// Marker and dashes of design number i, to go with design_colour(i).
Marker design_marker(std::size_t i);
std::vector<double> design_dashes(std::size_t i);

} // namespace raybend
