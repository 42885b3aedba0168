// Lines, areas and words in a plane, drawn by VTK's 2D context. Coordinates are picture points from the lower
// left; `scale` pixels make a point.
#pragma once
#include "postprocess/canvas/colours.hpp"
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

/// Words on a page and the upright box their ink takes, points.
struct Label {
  std::string words;
  double x = 0, y = 0, w = 0, h = 0;
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
  /// The words, at most `room` points wide: "..." in the middle stands for what had to go, so that names
  /// which differ at one end only can still be told apart.
  std::string fitted(const std::string &words, double room, const TextStyle &style);
  /// The words in at most `most` lines (1 or more) broken at blanks, and within a word that is wider than
  /// `room`; shortened like `fitted` where they need more.
  std::vector<std::string> lines(const std::string &words, double room, std::size_t most,
                                 const TextStyle &style);
  /// A page's title, smaller where `room` is too narrow for it, then shortened like `fitted`.
  void title(Point2 at, const std::string &words, double room);
  /// All words drawn so far.
  const std::vector<Label> &labels() const { return drawn; }

private:
  void apply(const TextStyle &style);
  void measure(const std::string &words, const TextStyle &style, float bounds[4]); ///< pixels

  vtkContext2D *context;
  double page_width, page_height, scale;
  std::vector<Label> drawn;
};

/// Marker and dashes of design number i, to go with design_colour(i).
Marker design_marker(std::size_t i);
std::vector<double> design_dashes(std::size_t i);

} // namespace raybend
