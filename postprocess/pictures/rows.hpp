// Pictures with a row for each design: its name and numbers at the left, views of it beside one another.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include "postprocess/compare/report_input.hpp"
#include <functional>
#include <string>
#include <vector>

namespace raybend {

struct Rows {
  std::size_t count, columns;
  double view_w, view_h;     ///< points; without the words of the row
  int width = 0, height = 0; ///< whole picture, points
  static constexpr double margin = 24, name_w = 200, head_h = 216, gap = 8, foot_h = 40;

  Rows(std::size_t count, std::size_t columns, double view_w, double view_h);

  /// Lower left corner of a view, points from the lower left of the picture.
  double left(std::size_t column) const { return margin + name_w + column * view_w; }
  double bottom(std::size_t row) const { return height - head_h - (row + 1) * (view_h + gap); }
};

/// Title, what it says of the picture in up to three lines below.
void rows_title(Painter &p, const std::string &title, const std::string &about);

/// A number's colours, above the columns from `column` on: `words`, and a bar with its numbers. Where values lie beyond
/// `low` and `high`, `least` and `largest` make the bar say so.
struct RowsScale {
  double low, high, least, largest;
  std::function<Colour(double)> colour;         ///< of 0..1
  std::vector<std::pair<double, double>> lines; ///< values at which the views have a line, and its width
};
void rows_scale(Painter &p, const Rows &rows, std::size_t column, std::size_t columns,
                const std::string &words, const RowsScale &scale);

/// The name of a row's design and lines of numbers below it; of a design that did not converge, that it has no result.
void row_name(Painter &p, const ReportInput &input, const Rows &rows, std::size_t row,
              const std::vector<std::string> &numbers);

/// In place of the views that show what differs from the reference, in the reference's own row: what they show.
void reference_words(Painter &p, const Rows &rows, std::size_t row, std::size_t column,
                     const std::string &words);

} // namespace raybend
