// The words above a panel that holds one design.
#include "postprocess/pictures/panel_name.hpp"
#include "postprocess/pictures/design_lines.hpp"

namespace raybend {

void panel_name(Painter &p, const ReportInput &input, std::size_t place, const Panels &panels,
                std::size_t i) {
  const double cx = panels.left(i) + panels.panel_w / 2, top = panels.bottom(i) + panels.panel_h;
  const TextStyle style{14, Align::centre, {20, 20, 20}, true};
  const auto lines = design_lines(p, input, place, panels.panel_w - 16, 3, style);
  for (std::size_t k = 0; k < lines.size(); ++k)
    p.text({cx, top + 26 + 17.0 * (lines.size() - 1 - k)}, lines[k], style);
  if (input.outcomes[place].with.converged)
    return;
  p.box(panels.left(i) + 8, panels.bottom(i) + 8, panels.panel_w - 16, panels.panel_h - 16, {},
        Stroke{{150, 150, 150}, 1, {4, 4}});
  p.text({cx, panels.bottom(i) + panels.panel_h / 2}, "not converged: no result", {14, Align::centre});
}

} // namespace raybend
