// Pictures with a row for each design: its name and numbers at the left, views of it beside one another.
#include "postprocess/pictures/rows.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/pictures/design_lines.hpp"
#include <cmath>

namespace raybend {

namespace {

constexpr Colour ink = {30, 30, 30}, line_ink = {40, 40, 40}, grey = {150, 150, 150};

} // namespace

Rows::Rows(std::size_t count_, std::size_t columns_, double w, double h)
    : count(count_), columns(columns_), view_w(w), view_h(h),
      width(static_cast<int>(std::ceil(2 * margin + name_w + columns * view_w))),
      height(static_cast<int>(std::ceil(head_h + count * (view_h + gap) + foot_h))) {}

void rows_title(Painter &p, const std::string &title, const std::string &about) {
  const double room = p.width() - 2 * Rows::margin;
  TextStyle style{19, Align::left, {20, 20, 20}, true};
  if (p.text_width(title, style) > room)
    style.size = 16;
  double y = p.height() - 24;
  for (const std::string &line : p.lines(title, room, 2, style)) {
    p.text({Rows::margin, y}, line, style);
    y -= 22;
  }
  for (const std::string &line : p.lines(about, room, 4, {14})) {
    p.text({Rows::margin, y}, line, {14});
    y -= 17;
  }
}

void rows_scale(Painter &p, const Rows &rows, std::size_t column, std::size_t columns,
                const std::string &words, const RowsScale &scale) {
  const double x = rows.left(column) + 14, w = columns * rows.view_w - 50, h = 14;
  const double y = rows.height - Rows::head_h + 42;
  p.text({x, y + h + 12}, p.fitted(words, w + 30, {14, Align::left, ink, true}),
         {14, Align::left, ink, true});
  level_colour_bar(p, x, y, w, h, scale.low, scale.high, scale.colour, scale.least, scale.largest);
  for (const auto &[value, width] : scale.lines) {
    const double at = x + w * (value - scale.low) / (scale.high - scale.low);
    p.line({at, y}, {at, y + h}, {line_ink, width, {}});
  }
}

void row_name(Painter &p, const ReportInput &input, const Rows &rows, std::size_t row,
              const std::vector<std::string> &numbers) {
  const double top = rows.bottom(row) + rows.view_h;
  p.line({Rows::margin, top + Rows::gap / 2}, {rows.width - Rows::margin, top + Rows::gap / 2},
         {{205, 205, 205}, 1, {}});
  const TextStyle style{14, Align::left, {20, 20, 20}, true};
  double y = top - 26;
  for (const std::string &line : design_lines(p, input, row, Rows::name_w - 12, 6, style)) {
    p.text({Rows::margin, y}, line, style);
    y -= 17;
  }
  for (const std::string &line : numbers) {
    y -= 3;
    p.text({Rows::margin, y}, p.fitted(line, Rows::name_w - 8, {14}), {14});
    y -= 17;
  }
  if (input.outcomes[row].with.converged)
    return;
  const double w = rows.columns * rows.view_w - 16;
  p.box(rows.left(0) + 8, rows.bottom(row) + 8, w, rows.view_h - 16, {}, Stroke{grey, 1, {4, 4}});
  p.text({rows.left(0) + 8 + w / 2, rows.bottom(row) + rows.view_h / 2}, "not converged: no result",
         {14, Align::centre});
}

void reference_words(Painter &p, const Rows &rows, std::size_t row, std::size_t column,
                     const std::string &words) {
  const TextStyle style{14, Align::left, {70, 70, 70}};
  const double w = (rows.columns - column) * rows.view_w;
  const auto lines = p.lines(words, std::min(300.0, w - 28), 8, style);
  for (std::size_t k = 0; k < lines.size(); ++k)
    p.text(
        {rows.left(column) + 14, rows.bottom(row) + rows.view_h / 2 + 17.0 * (0.5 * (lines.size() - 1) - k)},
        lines[k], style);
}

} // namespace raybend
